import type { Finding, Source } from "../evidence/index.ts";
import { MS_PER_HOUR, type InstantMs } from "../time/index.ts";
import { painTrend, type TimedScore } from "./pain-trend.ts";
import {
  AFTERBIRTH,
  EMERGENCY,
  NSAID_LABEL,
  RED_FLAG_LIST,
  SUPPORT_LIMB,
  TWENTY_FOUR_HOUR_GAP,
} from "./sources.ts";
import { vitalSignRedFlags, type VitalSigns } from "./vital-signs.ts";

/**
 * Things seen in the yard or by the farrier, each a plain yes or no. Left out means nobody looked,
 * which is not the same as no.
 */
export interface RedFlagSigns {
  readonly cannotGetUp?: boolean;
  readonly liesFlatMoreThanUsual?: boolean;
  readonly cannotLiftEitherFrontFoot?: boolean;
  readonly allFourFeetSore?: boolean;
  readonly painThroughFullRelief?: boolean;
  readonly ledgeOrDipAtHairline?: boolean;
  readonly bulgeOrCrackInSole?: boolean;
  readonly bloodOrPusAtHairline?: boolean;
  readonly sweating?: boolean;
  readonly purpleGums?: boolean;
  readonly diarrhoea?: boolean;
  readonly colic?: boolean;
  readonly grainBreakIn?: boolean;
  readonly supportLimbSuddenlyRested?: boolean;
  readonly suddenThreeLeggedLameness?: boolean;
  readonly offFood?: boolean;
  readonly darkLooseDung?: boolean;
  readonly mouthUlcers?: boolean;
  readonly notDrinking?: boolean;
  readonly dull?: boolean;
  readonly puffyLegs?: boolean;
  readonly twoAntiInflammatoriesGiven?: boolean;
  readonly doubledDose?: boolean;
  readonly wrongHorseDosed?: boolean;
  readonly shoeCastOrClogLooseTwistedOrHot?: boolean;
  readonly badSmell?: boolean;
  readonly nailPunctureOrLiveTissueSeen?: boolean;
}

export type RedFlagSign = keyof RedFlagSigns;

/** What one examination or yard check says about danger. */
export interface RedFlagCheck {
  readonly atMs: InstantMs;
  readonly signs?: RedFlagSigns;
  readonly vitalSigns?: VitalSigns;
  readonly fiveSignTotal?: number;
  readonly hoursSinceFoalingWithoutAfterbirth?: number;
  readonly onAntiInflammatory?: boolean;
  readonly steroidInInsulinRiskHorse?: boolean;
  readonly footSore?: boolean;
  /** Whole days of treatment, with whether the horse is better than at the start. */
  readonly treatment?: { readonly day: number; readonly better: boolean };
  /** Days past the due reset, when known. */
  readonly resetDaysLate?: number;
}

/** Earlier checks of the same horse, in any order. */
export type EarlierCheck = Pick<RedFlagCheck, "atMs" | "vitalSigns" | "fiveSignTotal">;

/** Sentence, source, and whether it counts only on an anti-inflammatory. */
interface SignRule {
  readonly sentence: string;
  readonly source?: Source;
  readonly onlyOnAntiInflammatory?: boolean;
}

/** Most urgent first; the order of the answer. */
const SIGN_RULES: Readonly<Record<RedFlagSign, SignRule>> = {
  cannotGetUp: { sentence: "Will not or cannot get up." },
  liesFlatMoreThanUsual: { sentence: "Lies flat more than usual." },
  suddenThreeLeggedLameness: {
    sentence:
      "Suddenly on three legs: abscess, fracture or a sinking bone until a vet says otherwise.",
  },
  allFourFeetSore: { sentence: "All four feet are sore." },
  cannotLiftEitherFrontFoot: { sentence: "Cannot lift either front foot." },
  painThroughFullRelief: { sentence: "Pain comes through full pain relief." },
  ledgeOrDipAtHairline: { sentence: "A ledge or dip can be felt at the hairline." },
  bulgeOrCrackInSole: { sentence: "A bulge or crack in the sole ahead of the frog." },
  bloodOrPusAtHairline: { sentence: "Blood or pus at the hairline." },
  nailPunctureOrLiveTissueSeen: { sentence: "A nail, a puncture or live tissue has been seen." },
  supportLimbSuddenlyRested: {
    sentence: "The good leg of a lame horse is suddenly rested or shifted.",
    source: SUPPORT_LIMB,
  },
  colic: { sentence: "Signs of colic." },
  diarrhoea: { sentence: "Diarrhoea." },
  grainBreakIn: { sentence: "Broke into grain or feed, even if the horse looks happy." },
  purpleGums: { sentence: "Purple gums." },
  sweating: { sentence: "Sweating at rest." },
  twoAntiInflammatoriesGiven: {
    sentence: "Two anti-inflammatories have been given.",
    source: TWENTY_FOUR_HOUR_GAP,
  },
  doubledDose: { sentence: "A dose was given twice." },
  wrongHorseDosed: { sentence: "The wrong horse was dosed." },
  offFood: { sentence: "Off food on an anti-inflammatory.", onlyOnAntiInflammatory: true },
  darkLooseDung: {
    sentence: "Dark loose dung on an anti-inflammatory.",
    onlyOnAntiInflammatory: true,
  },
  mouthUlcers: { sentence: "Mouth ulcers on an anti-inflammatory.", onlyOnAntiInflammatory: true },
  notDrinking: { sentence: "Not drinking on an anti-inflammatory.", onlyOnAntiInflammatory: true },
  dull: { sentence: "Dull on an anti-inflammatory.", onlyOnAntiInflammatory: true },
  puffyLegs: { sentence: "Puffy legs on an anti-inflammatory.", onlyOnAntiInflammatory: true },
  shoeCastOrClogLooseTwistedOrHot: { sentence: "Shoe, cast or clog is loose, twisted or hot." },
  badSmell: { sentence: "A bad smell from the foot or the cast." },
};

export const RED_FLAG_SIGNS = Object.keys(SIGN_RULES) as readonly RedFlagSign[];

/** Hours after foaling from which a missing afterbirth needs a vet. Source: {@link AFTERBIRTH}. */
export const AFTERBIRTH_HOURS = 3;
/** Day of treatment on which "no better" needs a vet. Source: {@link NSAID_LABEL}. */
export const NO_BETTER_DAY = 4;
/** Days late at which rising pain is no longer only a reset question. */
const LATE_AND_SORE_DAYS = 7;

const raise = (rule: string, detail: string, source: Source = RED_FLAG_LIST): Finding => ({
  rule: `examination/red-flag-${rule}@1`,
  outcome: "warn",
  detail,
  source,
});

const kebab = (name: string): string =>
  name.replaceAll(/[A-Z]/g, (capital) => `-${capital.toLowerCase()}`);

const signFlags = (check: RedFlagCheck): readonly Finding[] =>
  RED_FLAG_SIGNS.filter((sign) => check.signs?.[sign] === true).flatMap((sign) => {
    const rule = SIGN_RULES[sign];
    if (rule.onlyOnAntiInflammatory === true && check.onAntiInflammatory !== true) return [];
    return [raise(kebab(sign), rule.sentence, rule.source)];
  });

const contextFlags = (check: RedFlagCheck): readonly Finding[] => {
  const flags: Finding[] = [];
  const hours = check.hoursSinceFoalingWithoutAfterbirth;
  if (hours !== undefined && hours >= AFTERBIRTH_HOURS)
    flags.push(
      raise("afterbirth", `Foaled ${String(hours)} h ago, afterbirth not passed.`, AFTERBIRTH),
    );
  if (check.steroidInInsulinRiskHorse === true && check.footSore === true)
    flags.push(raise("steroid", "Foot-sore after a steroid in a horse with insulin trouble."));
  if (
    check.treatment !== undefined &&
    check.treatment.day >= NO_BETTER_DAY &&
    !check.treatment.better
  )
    flags.push(
      raise(
        "no-better",
        `No better by day ${String(check.treatment.day)} of treatment: stop and think again.`,
        NSAID_LABEL,
      ),
    );
  return flags;
};

const trendFlags = (check: RedFlagCheck, previous: readonly EarlierCheck[]): readonly Finding[] => {
  const scores: readonly TimedScore[] = [...previous, check].flatMap((one) =>
    one.fiveSignTotal === undefined ? [] : [{ total: one.fiveSignTotal, atMs: one.atMs }],
  );
  if (check.fiveSignTotal === undefined) return [];
  const trend = painTrend(scores, check.atMs);
  if (trend.state === "alert") return trend.findings;
  const late = check.resetDaysLate ?? 0;
  if (trend.state === "creeping" && late >= LATE_AND_SORE_DAYS)
    return [
      raise(
        "late-and-sore",
        `Pain score up by ${String(trend.riseInCreepWindow)} in a week, now ${String(check.fiveSignTotal)} of 12, and the reset is ${String(late)} days late.`,
      ),
    ];
  return [];
};

/** The latest earlier check with a heart rate; older ones would hide a fresh rise. */
const latestWithHeartRate = (
  check: RedFlagCheck,
  previous: readonly EarlierCheck[],
): VitalSigns | undefined =>
  previous
    .filter(
      (one) =>
        one.vitalSigns?.heartRatePerMinute !== undefined &&
        one.atMs <= check.atMs &&
        check.atMs - one.atMs <= 24 * MS_PER_HOUR,
    )
    .toSorted((left, right) => right.atMs - left.atMs)[0]?.vitalSigns;

/**
 * Every sign in a check that needs a vet at once, most urgent first. An empty answer means none of
 * the listed signs was reported; it is not an all-clear.
 *
 * The figures are starting values for the practice's clinical lead to confirm.
 */
export const examinationRedFlags = (
  check: RedFlagCheck,
  previous: readonly EarlierCheck[] = [],
): readonly Finding[] => [
  ...signFlags(check),
  ...vitalSignRedFlags(check.vitalSigns ?? {}, latestWithHeartRate(check, previous)),
  ...trendFlags(check, previous),
  ...contextFlags(check),
];

/** Whether a finding is a red flag: its rule says so. */
export const isRedFlag = (finding: Finding): boolean =>
  finding.rule.startsWith("examination/red-flag-");

export const RED_FLAG_CAUTION: Finding = {
  rule: "examination/no-all-clear@1",
  outcome: "note",
  detail: "No listed danger sign was reported. That is not an all-clear: ring if you are worried.",
  source: EMERGENCY,
};
