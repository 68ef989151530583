import type { Source } from "../evidence/index.ts";
import { addDays, type LocalDate } from "../time/index.ts";
import { METABOLIC_STANDARD, type MetabolicValues } from "./settings.ts";

const EEG_MONTHS: Source = {
  id: "memory/eeg-acth",
  citation:
    "Equine endocrinology group 2021-2023 table, northern hemisphere, chemiluminescent, recalled",
  status: "from memory",
};
const UK_TWO_TIER: Source = {
  id: "web/acth-uk-two-tier",
  citation:
    "Older UK cut-offs 29 pg/mL (November-July) and 47 pg/mL (August-October), owner-education site 2011 and 2016",
  status: "published",
};
const SECOMBE: Source = {
  id: "paper/secombe-2017",
  citation:
    "Secombe et al. 2017: upper limits Perth 43 and 94, Townsville 67 and 101 pg/mL (quiet and peak season)",
  status: "published",
};
const DONKEY: Source = {
  id: "paper/donkey-acth-2022",
  citation: "Front Vet Sci 2022 (981920): donkeys in California, above horse ranges May-November",
  status: "published",
};
const TRH: Source = {
  id: "published/eeg-trh",
  citation:
    "Equine endocrinology group TRH test: 10-minute ACTH under 110 negative, 110-220 equivocal, above 220 pg/mL positive",
  status: "published",
};

export type Hemisphere = "north" | "south";

/** Where and how a cut-off holds. `unlikelyBelow` and `likelyAbove` bracket the equivocal zone. */
export interface ActhCutoff {
  readonly place: string;
  readonly assay: string;
  readonly unlikelyBelow: number;
  readonly likelyAbove: number;
  readonly source: Source;
}

const NORTH: readonly (readonly [readonly number[], number, number])[] = [
  [[12, 1, 2, 3, 4, 5, 6], 15, 40],
  [[7, 11], 15, 50],
  [[8], 20, 75],
  [[9, 10], 30, 90],
];

/** Name of the method the month table belongs to. */
export const MONTH_TABLE_ASSAY = "chemiluminescent";

const monthOf = (on: LocalDate): number => Number(on.slice(5, 7));

/** The month table; the southern half of the year is shifted by six months (derived). */
export const monthCutoff = (on: LocalDate, hemisphere: Hemisphere = "north"): ActhCutoff => {
  const month = hemisphere === "north" ? monthOf(on) : ((monthOf(on) + 5) % 12) + 1;
  const row = NORTH.find(([months]) => months.includes(month));
  return {
    place:
      hemisphere === "north" ? "northern hemisphere" : "southern hemisphere, shifted six months",
    assay: MONTH_TABLE_ASSAY,
    unlikelyBelow: row?.[1] ?? 15,
    likelyAbove: row?.[2] ?? 40,
    source: EEG_MONTHS,
  };
};

/** Published upper limits of single places: one line, no equivocal zone. */
export const PLACE_CUTOFFS = {
  "UK two-tier": (on: LocalDate): ActhCutoff => {
    const value = [8, 9, 10].includes(monthOf(on)) ? 47 : 29;
    return {
      place: "UK",
      assay: MONTH_TABLE_ASSAY,
      unlikelyBelow: value,
      likelyAbove: value,
      source: UK_TWO_TIER,
    };
  },
  Perth: (on: LocalDate): ActhCutoff => {
    const value = [3, 4].includes(monthOf(on)) ? 94 : 43;
    return {
      place: "Perth",
      assay: MONTH_TABLE_ASSAY,
      unlikelyBelow: value,
      likelyAbove: value,
      source: SECOMBE,
    };
  },
  Townsville: (on: LocalDate): ActhCutoff => {
    const value = [3, 4].includes(monthOf(on)) ? 101 : 67;
    return {
      place: "Townsville",
      assay: MONTH_TABLE_ASSAY,
      unlikelyBelow: value,
      likelyAbove: value,
      source: SECOMBE,
    };
  },
} as const;

export interface ActhSample {
  readonly valuePgPerMl: number;
  readonly on: LocalDate;
  readonly assay: string;
  readonly hemisphere?: Hemisphere;
  readonly animalType?: "horse" | "pony" | "donkey";
  /** The laboratory's own cut-off for that week; it always comes first. */
  readonly laboratoryCutoffPgPerMl?: number | undefined;
}

export interface ActhReading {
  readonly reading:
    | "unlikely"
    | "equivocal"
    | "likely"
    | "below the cut-off"
    | "above the cut-off"
    | "not shown";
  readonly text: string;
  readonly cutoff: ActhCutoff | undefined;
  readonly source: Source;
  /** Day to look again, where the reading asks for it. */
  readonly recheckOn: LocalDate | undefined;
}

/** Equivocal results are repeated in 3-6 months, or a TRH test is done. */
const EQUIVOCAL_RECHECK_DAYS = 91;

/**
 * Reads an ACTH value against the cut-off of its own week, place and method. With a laboratory
 * cut-off that alone is used; without one the month table holds only for its own method, and never
 * for donkeys.
 */
export const readActh = (sample: ActhSample): ActhReading => {
  const own = sample.laboratoryCutoffPgPerMl;
  if (own !== undefined)
    return {
      reading: sample.valuePgPerMl > own ? "above the cut-off" : "below the cut-off",
      text: `${String(sample.valuePgPerMl)} pg/mL; the laboratory's cut-off for that week is ${String(own)}.`,
      cutoff: undefined,
      source: {
        id: "laboratory/week",
        citation: "Cut-off stated by the laboratory for the week of the sample",
        status: "standard",
      },
      recheckOn: undefined,
    };
  const none = (text: string, source: Source): ActhReading => ({
    reading: "not shown",
    text,
    cutoff: undefined,
    source,
    recheckOn: undefined,
  });
  if (sample.animalType === "donkey")
    return none(
      "Donkeys lie above horse ranges from May to November; ask the laboratory for theirs.",
      DONKEY,
    );
  if (sample.assay !== MONTH_TABLE_ASSAY)
    return none("Different method: cut-offs belong to one method and place.", EEG_MONTHS);
  const cutoff = monthCutoff(sample.on, sample.hemisphere);
  const reading =
    sample.valuePgPerMl > cutoff.likelyAbove
      ? "likely"
      : sample.valuePgPerMl < cutoff.unlikelyBelow
        ? "unlikely"
        : "equivocal";
  return {
    reading,
    text: `${String(sample.valuePgPerMl)} pg/mL; for this month ${String(cutoff.unlikelyBelow)}-${String(cutoff.likelyAbove)} is the grey zone (${cutoff.place}).`,
    cutoff,
    source: cutoff.source,
    recheckOn: reading === "equivocal" ? addDays(sample.on, EQUIVOCAL_RECHECK_DAYS) : undefined,
  };
};

export interface TrhReading {
  readonly reading: "negative" | "equivocal" | "positive" | "not readable";
  readonly text: string;
  readonly source: Source;
}

/** Months in which healthy horses over-respond, northern hemisphere. */
const TRH_AVOID_NORTH = [7, 8, 9, 10, 11] as const;

/**
 * TRH stimulation, 10-minute sample. One minute early or late can shift the value by a tenth or
 * more, so any other minute is not read against these limits.
 */
export const readTrh = (
  acthPgPerMl: number,
  minute: number,
  on: LocalDate,
  hemisphere: Hemisphere = "north",
): TrhReading => {
  const month = hemisphere === "north" ? monthOf(on) : ((monthOf(on) + 5) % 12) + 1;
  if (minute !== 10)
    return {
      reading: "not readable",
      text: `Sampled at ${String(minute)} minutes; these limits belong to exactly 10.`,
      source: TRH,
    };
  if ((TRH_AVOID_NORTH as readonly number[]).includes(month))
    return {
      reading: "not readable",
      text: "Not read in late summer and autumn: healthy horses over-respond then.",
      source: TRH,
    };
  const reading = acthPgPerMl < 110 ? "negative" : acthPgPerMl > 220 ? "positive" : "equivocal";
  return { reading, text: `${String(acthPgPerMl)} pg/mL at 10 minutes: ${reading}.`, source: TRH };
};

/** The day of a date's year on which hormone tests open: the first of August, half a year on in the south. */
export const hormonesOpenOn = (on: LocalDate, hemisphere: Hemisphere): LocalDate =>
  `${on.slice(0, 4)}-${hemisphere === "north" ? "08-01" : "02-01"}`;

/** ACTH tasks opened on the first of August for every animal with PPID (first of February in the south). */
export const autumnActhTask = (
  conditions: readonly string[],
  on: LocalDate,
  hemisphere: Hemisphere = "north",
  { autumnHormones }: MetabolicValues = METABOLIC_STANDARD,
): { readonly dueOn: LocalDate; readonly why: string } | undefined => {
  if (!conditions.includes("PPID")) return undefined;
  const opened = hormonesOpenOn(on, hemisphere);
  if (on < opened || on > addDays(opened, autumnHormones.askedFor)) return undefined;
  return {
    dueOn: addDays(opened, autumnHormones.dueAfter),
    why: "The seasonal rise is coming: ACTH and the dose are looked at before it peaks.",
  };
};
