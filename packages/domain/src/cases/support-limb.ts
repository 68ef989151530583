import type { Finding, Setting } from "../evidence/index.ts";
import type { Foot } from "../examination/index.ts";
import { addDays, type LocalDate } from "../time/index.ts";
import { HOUSE_CASE_RULES, SUPPORT_LIMB_SOURCE } from "./sources.ts";

export const SUPPORT_LIMB_SETTINGS = {
  lamenessFrom: {
    key: "cases.support-limb-lameness",
    value: 4,
    unit: "grade of 5",
    source: HOUSE_CASE_RULES,
    since: "2026-01-01",
    change: "tighten",
  },
  checksPerDay: {
    key: "cases.support-limb-checks",
    value: 2,
    unit: "a day",
    source: HOUSE_CASE_RULES,
    since: "2026-01-01",
    change: "tighten",
  },
} as const satisfies Record<string, Setting<number>>;

const OTHER_FOOT: Readonly<Record<Foot, Foot>> = { LF: "RF", RF: "LF", LH: "RH", RH: "LH" };

/** The rule whose finding asks for a watch. */
export const SUPPORT_LIMB_PROPOSAL = "cases/support-limb-proposal@1";

export interface SupportLimbFacts {
  /** Leg that is injured, in a cast or very lame. */
  readonly injuredFoot: Foot;
  readonly inCast: boolean;
  readonly lamenessGrade?: number;
  readonly since: LocalDate;
}

export interface SupportLimbWatch {
  /** The leg at risk. */
  readonly watchFoot: Foot;
  readonly checksPerDay: number;
  readonly from: LocalDate;
  readonly finding: Finding;
}

/**
 * Opens the watch on the other leg when one is in a cast or grade 4 or worse. What to look for:
 * weight shifts counted, the foot rested, warmth, pulse. Suddenly resting the watched leg is a red
 * flag, not a sign that the first is better.
 */
export const supportLimbWatch = (facts: SupportLimbFacts): SupportLimbWatch | undefined => {
  const veryLame = (facts.lamenessGrade ?? 0) >= SUPPORT_LIMB_SETTINGS.lamenessFrom.value;
  if (!facts.inCast && !veryLame) return undefined;
  const watchFoot = OTHER_FOOT[facts.injuredFoot];
  return {
    watchFoot,
    checksPerDay: SUPPORT_LIMB_SETTINGS.checksPerDay.value,
    from: facts.since,
    finding: {
      rule: "cases/support-limb-watch@1",
      outcome: "warn",
      detail: `${watchFoot} carries the load for ${facts.injuredFoot}: check it twice a day; ring at once if it is suddenly rested.`,
      source: SUPPORT_LIMB_SOURCE,
    },
  };
};

/** Says that an examination this lame should open the watch; which leg it is, the vet says. */
export const proposeSupportLimbWatch = (lamenessGrade: number): Finding | undefined =>
  lamenessGrade < SUPPORT_LIMB_SETTINGS.lamenessFrom.value
    ? undefined
    : {
        rule: SUPPORT_LIMB_PROPOSAL,
        outcome: "warn",
        detail: `Lame at grade ${String(lamenessGrade)} of 5: the other foot carries the load. Open a watch on it, to be checked ${String(SUPPORT_LIMB_SETTINGS.checksPerDay.value)} times a day.`,
        source: SUPPORT_LIMB_SOURCE,
        field: "/lamenessGrade",
      };

/** Checks still open today and checks left out yesterday. `doneOn` holds one day per check made. */
export const supportLimbChecksDue = (
  watch: SupportLimbWatch,
  doneOn: readonly LocalDate[],
  today: LocalDate,
): { readonly due: number; readonly missedYesterday: number } => {
  const count = (day: LocalDate) => doneOn.filter((done) => done === day).length;
  const yesterday = addDays(today, -1);
  return {
    due: today < watch.from ? 0 : Math.max(0, watch.checksPerDay - count(today)),
    missedYesterday:
      yesterday < watch.from ? 0 : Math.max(0, watch.checksPerDay - count(yesterday)),
  };
};
