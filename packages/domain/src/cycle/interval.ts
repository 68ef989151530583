import type { Role } from "../access/index.ts";
import { withOwnFigures, type Finding, type OwnFigures } from "../evidence/index.ts";
import {
  CYCLE_SETTINGS,
  INTERVAL_SETTINGS,
  type CyclePhase,
  type IntervalRange,
} from "./settings.ts";

export interface IntervalChoice {
  readonly phase: CyclePhase;
  readonly intervalDays: number;
  /** The interval of a cycle that runs already, when it is this cycle that would change. */
  readonly runningDays?: number;
  /** A vet's written reason to go longer, and who signed it. */
  readonly longerBecause?: { readonly reason: string; readonly signedByRole: Role };
}

const rangeOf = (phase: CyclePhase, own: OwnFigures): IntervalRange =>
  withOwnFigures(INTERVAL_SETTINGS[phase], own);

/** The longest interval that needs no signed reason, in days, by the practice's own figures where it has set some. */
export const intervalCeilingDays = (phase: CyclePhase, own: OwnFigures = {}): number =>
  rangeOf(phase, own).mostDays;

/**
 * What a plan signed in the middle of a cycle does to the interval of that cycle. A shorter one pulls
 * the due day earlier at once; a longer one holds from the next reset on, because a due day never
 * moves later by itself: the horn of this cycle is growing against the date that was promised.
 */
export const runningIntervalAfter = (runningDays: number, signedDays: number): number =>
  Math.min(runningDays, signedDays);

/** Whether an interval may be signed in a phase. Shorter is always allowed, longer needs a vet's signed reason. */
export const judgeInterval = (choice: IntervalChoice, own: OwnFigures = {}): readonly Finding[] => {
  const { phase, intervalDays, runningDays, longerBecause } = choice;
  const signed =
    longerBecause !== undefined &&
    longerBecause.signedByRole === "vet" &&
    longerBecause.reason.trim() !== "";
  const setting = INTERVAL_SETTINGS[phase];
  const { leastDays, mostDays } = rangeOf(phase, own);
  const say = (
    rule: string,
    outcome: Finding["outcome"],
    detail: string,
    source = setting.source,
  ): readonly Finding[] => [
    { rule: `cycle/${rule}@1`, outcome, detail, source, field: "/intervalDays" },
  ];
  if (!Number.isInteger(intervalDays) || intervalDays < 1)
    return say("interval-whole", "block", "The interval is a whole number of days, at least 1.");
  const longest = CYCLE_SETTINGS.longestDays;
  const longestDays = withOwnFigures(longest, own);
  if (intervalDays > longestDays)
    return say(
      "interval-longest",
      "block",
      `${String(intervalDays)} days is past the longest interval in use, ${String(longestDays)}.`,
      longest.source,
    );
  if (intervalDays > mostDays) {
    return signed
      ? say(
          "interval-ceiling",
          "warn",
          `${String(intervalDays)} days is past the ceiling of ${String(mostDays)} for ${phase}; signed by the vet: ${longerBecause.reason.trim()}`,
        )
      : say(
          "interval-ceiling",
          "block",
          `${String(intervalDays)} days is past the ceiling of ${String(mostDays)} for ${phase}; only a vet's signed reason allows it.`,
        );
  }
  if (runningDays !== undefined && intervalDays > runningDays)
    return signed
      ? say(
          "interval-lengthened",
          "warn",
          `The running cycle goes from ${String(runningDays)} to ${String(intervalDays)} days; signed by the vet: ${longerBecause.reason.trim()}`,
        )
      : say(
          "interval-lengthened",
          "block",
          `A due day never moves later by itself: ${String(intervalDays)} days in place of ${String(runningDays)} needs a vet's written reason.`,
        );
  if (intervalDays < leastDays)
    return say(
      "interval-short",
      "note",
      `${String(intervalDays)} days is shorter than the usual ${String(leastDays)}–${String(mostDays)} for ${phase}; allowed.`,
    );
  return say(
    "interval-range",
    "pass",
    `${String(intervalDays)} days lies in ${String(leastDays)}–${String(mostDays)} for ${phase}.`,
  );
};
