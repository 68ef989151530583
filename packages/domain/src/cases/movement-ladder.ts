import type { Finding, Setting } from "../evidence/index.ts";
import { addDays, dayText, daysBetween, type LocalDate } from "../time/index.ts";
import { HOUSE_CASE_RULES, LABEL_THREE_DAYS, THIRTY_DAYS } from "./sources.ts";

export const MOVEMENT_SETTINGS = {
  soundDays: {
    key: "cases.sound-days-before-turnout",
    value: 30,
    unit: "days",
    source: THIRTY_DAYS,
    since: "2026-01-01",
    change: "tighten",
  },
  /** The painkiller still works after the last dose; such days do not count as sound. */
  painkillerTailDays: {
    key: "cases.painkiller-tail",
    value: 3,
    unit: "days",
    source: LABEL_THREE_DAYS,
    since: "2026-01-01",
    change: "tighten",
  },
} as const satisfies Record<string, Setting<number>>;

export interface SoundnessFacts {
  /** First day seen sound, by a vet or a score of 0. Leave out while the horse is sore. */
  readonly soundSinceOn?: LocalDate;
  readonly lastPainkillerOn?: LocalDate;
  /** True while a painkiller course runs. */
  readonly onPainkiller: boolean;
}

export interface TurnoutClock {
  /** Day the count starts; absent while it cannot start. */
  readonly startsOn?: LocalDate;
  readonly soundDays: number;
  /** First day on which turnout may be talked about with the vet. */
  readonly earliestOn?: LocalDate;
  readonly reached: boolean;
  readonly finding: Finding;
}

const clockFinding = (detail: string): Finding => ({
  rule: "cases/turnout-clock@1",
  outcome: "note",
  detail,
  source: THIRTY_DAYS,
});

/**
 * The count of sound days without painkillers before any turnout. Medicated days and the three days
 * after the last dose do not count. Reaching the day is a prompt to ask the vet, not permission;
 * other practices turn out sooner and the vet's signed ladder stands above this.
 */
export const turnoutClock = (facts: SoundnessFacts, today: LocalDate): TurnoutClock => {
  if (facts.onPainkiller || facts.soundSinceOn === undefined)
    return {
      soundDays: 0,
      reached: false,
      finding: clockFinding(
        facts.onPainkiller
          ? "The count starts when the horse is sound without painkillers."
          : "The count starts when the horse is sound.",
      ),
    };
  const clear =
    facts.lastPainkillerOn === undefined
      ? facts.soundSinceOn
      : addDays(facts.lastPainkillerOn, MOVEMENT_SETTINGS.painkillerTailDays.value);
  const startsOn = clear > facts.soundSinceOn ? clear : facts.soundSinceOn;
  const earliestOn = addDays(startsOn, MOVEMENT_SETTINGS.soundDays.value);
  return {
    startsOn,
    soundDays: Math.max(0, daysBetween(startsOn, today)),
    earliestOn,
    reached: today >= earliestOn,
    finding: clockFinding(
      `Sound without painkillers since ${dayText(startsOn)}; ask the vet about turnout from ${dayText(earliestOn)}.`,
    ),
  };
};

export interface MovementLadder {
  readonly id: string;
  /** `ended` covers finished, stopped and replaced. */
  readonly state: "draft" | "live" | "ended";
}

/** One ladder lives at a time: two sheets that disagree are worse than none. */
export const judgeLadderStart = (
  ladders: readonly MovementLadder[],
  startingId: string,
): readonly Finding[] => {
  const live = ladders.find((ladder) => ladder.state === "live" && ladder.id !== startingId);
  return live === undefined
    ? []
    : [
        {
          rule: "cases/one-live-ladder@1",
          outcome: "block",
          detail: "Another plan for movement is live; end it before this one starts.",
          source: HOUSE_CASE_RULES,
          field: "/ladderId",
        },
      ];
};

export const LADDER_STOP_SIGNS = [
  "score up",
  "pulse up",
  "short or slow on the turn",
  "rests or shifts the feet",
  "warm feet",
] as const;
export type LadderStopSign = (typeof LADDER_STOP_SIGNS)[number];

export interface LadderStep {
  readonly stepIndex: number;
  readonly startedOn: LocalDate;
  readonly daysNeeded: number;
}

/** Stop on any sign; else stay until the days are done, then move up. Medicated days do not count. */
export const ladderNext = (
  step: LadderStep,
  stopSigns: readonly LadderStopSign[],
  medicatedDays: readonly LocalDate[],
  today: LocalDate,
): { readonly move: "stop and ring the vet" | "stay" | "up"; readonly daysCounted: number } => {
  const medicated = new Set(medicatedDays.filter((day) => day >= step.startedOn && day < today))
    .size;
  const daysCounted = Math.max(0, daysBetween(step.startedOn, today) - medicated);
  if (stopSigns.length > 0) return { move: "stop and ring the vet", daysCounted };
  return { move: daysCounted >= step.daysNeeded ? "up" : "stay", daysCounted };
};
