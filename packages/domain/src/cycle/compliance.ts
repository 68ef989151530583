import { daysBetween, type LocalDate } from "../time/index.ts";
import { CYCLE_SETTINGS } from "./settings.ts";

/** One reset done, and the interval that held for it. */
export interface DoneReset {
  readonly horseId: string;
  readonly farrierId: string;
  readonly yardId?: string;
  readonly on: LocalDate;
  /** Interval signed for the cycle that this reset ends. */
  readonly intervalDays: number;
}

export interface Compliance {
  readonly onTime: number;
  readonly total: number;
  /** 0-1; absent when nothing can be judged. */
  readonly share?: number;
}

const groupBy = <T>(items: readonly T[], keyOf: (item: T) => string): ReadonlyMap<string, T[]> => {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const key = keyOf(item);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [item]);
    else group.push(item);
  }
  return groups;
};

interface JudgedReset {
  readonly reset: DoneReset;
  readonly onTime: boolean;
}

const judgeEach = (resets: readonly DoneReset[], graceDays: number): readonly JudgedReset[] =>
  [...groupBy(resets, (reset) => reset.horseId).values()].flatMap((visits) => {
    const inOrder = visits.toSorted((left, right) => daysBetween(right.on, left.on));
    return inOrder.flatMap((reset, index) => {
      const before = inOrder[index - 1];
      if (before === undefined) return [];
      return [
        { reset, onTime: daysBetween(before.on, reset.on) <= reset.intervalDays + graceDays },
      ];
    });
  });

const tally = (judged: readonly JudgedReset[]): Compliance => {
  const onTime = judged.filter((one) => one.onTime).length;
  return judged.length === 0
    ? { onTime, total: 0 }
    : { onTime, total: judged.length, share: onTime / judged.length };
};

/**
 * Share of resets done no later than the grace after their due day. The first visit of a horse has
 * no due day and is left out; early visits count as on time.
 */
export const resetCompliance = (
  resets: readonly DoneReset[],
  graceDays: number = CYCLE_SETTINGS.complianceGraceDays.value,
): Compliance => tally(judgeEach(resets, graceDays));

/**
 * The same per farrier or yard. Each horse keeps its whole history while judging, so that a change
 * of farrier hides no interval; the reset counts for whoever did it.
 */
export const complianceBy = (
  resets: readonly DoneReset[],
  keyOf: (reset: DoneReset) => string,
  graceDays: number = CYCLE_SETTINGS.complianceGraceDays.value,
): ReadonlyMap<string, Compliance> =>
  new Map(
    [...groupBy(judgeEach(resets, graceDays), ({ reset }) => keyOf(reset))].map(([key, judged]) => [
      key,
      tally(judged),
    ]),
  );
