import { valuesOf, type OwnFigures, type Setting, type Source } from "../evidence/index.ts";

const house = (id: string, citation: string): Source => ({
  id: `house/${id}`,
  citation,
  status: "house rule",
});
const COLD: Source = {
  id: "paper/kullmann-2014",
  citation:
    "Kullmann et al. 2014, Equine Vet J 46:554: continuous cold at least 48 h, refilled every 2 h; cryotherapy studies: hoof under 10 C, foot to above the fetlock",
  status: "published",
};
const RESTRICTION: Source = {
  id: "published/restriction-2010",
  citation:
    "Restriction trial 2010: 1.25 % of weight as dry matter for 16 weeks, 1.0 % in resistant animals; 1 % is the floor, with vet oversight",
  status: "published",
};

const setting = <T>(
  key: string,
  value: T,
  unit: string,
  source: Source,
  change: Setting<T>["change"] = "free",
): Setting<T> => ({ key: `metabolic.${key}`, value, unit, source, since: "2026-01-01", change });

/** The figures of cause, feed and recovery that a practice may set, each with its date and source. */
export const METABOLIC_SETTINGS = {
  iceGapHours: setting("ice-gap", 2, "h", COLD, "tighten"),
  iceWarmFromCelsius: setting("ice-warm-from", 10, "°C", COLD, "tighten"),
  medicatedTailDays: setting(
    "medicated-tail",
    3,
    "days",
    house(
      "medicated-tail",
      "Days on a painkiller and three after it do not count as sound (label: the effect lasts at least 3 days)",
    ),
    "tighten",
  ),
  ladderDays: setting<readonly number[]>(
    "ladder-days",
    [14, 7, 7, 14, 14],
    "days",
    house("movement-ladder", "Least days on each stage of the return to movement; set by the vet"),
  ),
  rethinkOnDay: setting(
    "rethink-day",
    14,
    "days",
    house("rethink", "A case that heals slower than three in four is thought over on day 14"),
    "tighten",
  ),
  painRise: setting(
    "pain-rise",
    2,
    "points of 12",
    house("pain-rise", "Two points up on the five-sign score within 24 hours alert the vet"),
    "tighten",
  ),
  recheckDays: setting(
    "recheck-days",
    { weight: 7, crest: 14, insulinAfterChange: 21, insulinNotLow: 91, insulinLow: 182 },
    "days",
    house(
      "metabolic-rechecks",
      "Weight weekly, crest and condition every two weeks; insulin 2-4 weeks after a change of diet or medicine, then every 3 months until low, then every 6",
    ),
  ),
  rationPercent: setting(
    "ration-percent",
    { askBelow: 1.5, floor: 1 },
    "% of weight as dry matter",
    RESTRICTION,
    "tighten",
  ),
  autumnHormones: setting(
    "autumn-hormones",
    { dueAfter: 14, askedFor: 91 },
    "days",
    house(
      "autumn-hormones",
      "ACTH and the dose are looked at before the seasonal rise, which peaks late August to early October in the north (PubMed 40749730)",
    ),
  ),
  sampleEarlyDays: setting(
    "sample-early",
    { interval: 3, baseline: 30 },
    "days",
    house(
      "sample-early",
      "A sample this much before its day still counts for it; a baseline may be a month old",
    ),
    "tighten",
  ),
  baselineLapsesDays: setting(
    "baseline-lapses",
    28,
    "days",
    house(
      "baseline-lapses",
      "Four weeks into a course a first sample is no baseline any more; a missed interval test lapses when the next one opens",
    ),
  ),
} as const;

export type MetabolicValues = ReturnType<typeof metabolicValues>;

/** The figures with a practice's own in their places. */
export const metabolicValues = (own: OwnFigures) => valuesOf(METABOLIC_SETTINGS, own);

/** The standard figures. */
export const METABOLIC_STANDARD: MetabolicValues = metabolicValues({});
