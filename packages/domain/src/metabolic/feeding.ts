import type { Finding, Judged, Source } from "../evidence/index.ts";
import {
  WEIGHT_CHANGE_SETTINGS,
  weeklyLoss,
  type DatedWeight,
  type WeeklyLoss,
  type WeightChangeSettings,
} from "../horse/index.ts";
import { METABOLIC_SETTINGS, METABOLIC_STANDARD, type MetabolicValues } from "./settings.ts";

const RESTRICTION = METABOLIC_SETTINGS.rationPercent.source;
const SOAKING: Source = {
  id: "paper/longland-2011",
  citation:
    "Longland et al. 2011: 16 h in water of about 8 C took out 27 % of the soluble sugars on average, very variable",
  status: "published",
};
const DRYNESS: Source = {
  id: "published/hay-dry-matter",
  citation: "Equine Veterinary Education, September 2018: hay 85-90 % dry matter, haylage 50-70 %",
  status: "published",
};
const LOSS: Source = {
  id: "published/loss-rate",
  citation:
    "Trade press on the management of metabolic syndrome: 0.5-1 % of weight a week, at most 1 % after the first week",
  status: "published",
};
const LIPAEMIA: Source = {
  id: "common/hyperlipaemia",
  citation:
    "Ponies, donkeys and miniatures can die of blood fats when they stop eating; common teaching",
  status: "common practice",
};

export type Forage = "hay" | "haylage";

/** Dry matter shares that can be right. */
const DRY_SHARE: Readonly<Record<Forage, readonly [number, number]>> = {
  hay: [0.8, 0.95],
  haylage: [0.45, 0.75],
};

export interface FeedingRequest {
  readonly weightKg: number;
  readonly animalType: "horse" | "pony" | "donkey";
  /** Percent of body weight as dry matter, set by the vet. */
  readonly dryMatterPercent: number;
  readonly forage: Forage;
  /** Share of dry matter of the forage, 0-1, measured or from the laboratory. */
  readonly dryShare: number;
  readonly soakHours?: number | undefined;
  readonly activePhase: boolean;
  readonly grazing: boolean;
  readonly offFeedHours?: number | undefined;
  readonly vetSigned: boolean;
}

export interface FeedingPlan {
  readonly dryMatterKg: number;
  /** Weighed dry, before any soaking. */
  readonly asFedKg: number;
  /** The lowest the ration may ever go, as fed. */
  readonly floorAsFedKg: number;
  readonly weeklyLossKg: { readonly least: number; readonly most: number };
  readonly instructions: readonly string[];
}

const finding = (
  rule: string,
  outcome: Finding["outcome"],
  detail: string,
  source: Source,
  field?: string,
): Finding => ({
  rule: `metabolic/${rule}@1`,
  outcome,
  detail,
  source,
  ...(field === undefined ? {} : { field }),
});

const judgeRequest = (
  request: FeedingRequest,
  { rationPercent }: MetabolicValues,
): readonly Finding[] => {
  const findings: Finding[] = [];
  const [least, most] = DRY_SHARE[request.forage];
  if (!(request.dryShare >= least && request.dryShare <= most))
    findings.push(
      finding(
        "dry-share",
        "block",
        `${request.forage} with ${(100 * request.dryShare).toFixed(0)} % dry matter is outside ${String(100 * least)}-${String(100 * most)} %.`,
        DRYNESS,
        "/dryShare",
      ),
    );
  if (request.dryMatterPercent < rationPercent.floor)
    findings.push(
      finding(
        "ration-floor",
        "block",
        `Never under ${String(rationPercent.floor)} % of weight as dry matter: starving kills.`,
        RESTRICTION,
        "/dryMatterPercent",
      ),
    );
  else if (request.dryMatterPercent < rationPercent.askBelow)
    findings.push(
      finding(
        "ration-low",
        request.vetSigned ? "note" : "block",
        `Under ${String(rationPercent.askBelow)} % of weight as dry matter only on a vet's signature.`,
        RESTRICTION,
        "/dryMatterPercent",
      ),
    );
  if (request.activePhase && request.grazing)
    findings.push(
      finding(
        "no-grazing",
        "block",
        "No grass while the laminitis is active; a few hours are not a restriction, ponies can eat 1 % of their weight in three.",
        RESTRICTION,
        "/grazing",
      ),
    );
  if ((request.soakHours ?? 0) > 0)
    findings.push(
      finding(
        "soaking",
        "note",
        "Soaking takes out about a quarter of the soluble sugars on average and varies widely; some dry matter goes with it.",
        SOAKING,
        "/soakHours",
      ),
    );
  if (request.animalType !== "horse")
    findings.push(
      finding(
        "hyperlipaemia",
        (request.offFeedHours ?? 0) > 0 ? "block" : "note",
        (request.offFeedHours ?? 0) > 0
          ? "Not eating: a pony or donkey must not be restricted now. Ring the vet, check triglycerides."
          : "Ponies and donkeys: if feed is left, stop the restriction and ring the vet the same day.",
        LIPAEMIA,
      ),
    );
  return findings;
};

/**
 * The ration card. Forage is weighed dry, before soaking; soaking takes sugar out unreliably, so
 * low-sugar hay is shown by a laboratory, not assumed.
 */
export const feedingPlan = (
  request: FeedingRequest,
  values: MetabolicValues = METABOLIC_STANDARD,
  weights: WeightChangeSettings = WEIGHT_CHANGE_SETTINGS,
): Judged<FeedingPlan> => {
  const findings = judgeRequest(request, values);
  if (findings.some(({ outcome }) => outcome === "block")) return { ok: false, findings };
  const dryMatterKg = (request.weightKg * request.dryMatterPercent) / 100;
  return {
    ok: true,
    findings,
    value: {
      dryMatterKg,
      asFedKg: dryMatterKg / request.dryShare,
      floorAsFedKg: (request.weightKg * values.rationPercent.floor) / 100 / request.dryShare,
      weeklyLossKg: {
        least: (request.weightKg * weights.weeklyLossLeastPercent.value) / 100,
        most: (request.weightKg * weights.weeklyLossMostPercent.value) / 100,
      },
      instructions: [
        "Weigh every net, dry, before soaking. Feed in small nets through the day and night.",
        ...(request.soakHours === undefined || request.soakHours <= 0
          ? []
          : [
              `Soak ${String(request.soakHours)} h in clean cold water, drain, throw the water away; in warm weather shorter, it ferments. Soaking does not make every hay low in sugar: have it tested (under 10 % sugar and starch in dry matter).`,
            ]),
        "Add a balancer for vitamins and minerals. No grain, fruit, carrots or treats.",
        ...(request.activePhase ? ["No grass."] : []),
        `Weigh the horse every week: at most ${String(weights.weeklyLossMostPercent.value)} % of weight lost a week.`,
      ],
    },
  };
};

export interface LossJudgement {
  readonly loss: WeeklyLoss | undefined;
  readonly finding: Finding | undefined;
}

/** Loss between two weighings; faster than 1 % a week is an alert except in the first week. */
export const judgeLoss = (
  first: DatedWeight,
  last: DatedWeight,
  weekOfPlan: number,
  weights: WeightChangeSettings = WEIGHT_CHANGE_SETTINGS,
): LossJudgement => {
  const loss = weeklyLoss(first, last, weights);
  if (loss === undefined) return { loss, finding: undefined };
  const tooFast = loss.band === "faster than planned" && weekOfPlan > 1;
  return {
    loss,
    finding: finding(
      "loss-rate",
      tooFast ? "warn" : loss.band === "inside the band" ? "pass" : "note",
      `${loss.lossPercentPerWeek.toFixed(2)} % a week: ${loss.band}.`,
      LOSS,
    ),
  };
};
