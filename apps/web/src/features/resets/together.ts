import type { Reset } from "@heelward/contracts";

/** Left between two yards for packing and driving; the day's route settles the rest. */
const BETWEEN_YARDS_MINUTES = 30;
const MS_PER_MINUTE = 60_000;

/** One visit of a day that is booked in one go. */
export interface TogetherVisit {
  readonly reset: Reset;
  readonly startMs: number;
  readonly minutes: number;
}

/**
 * Several resets on one day, one after the other: yards in the order of their most pressing horse,
 * the most days late first within a yard, half an hour between two yards.
 */
export const inTurn = (resets: readonly Reset[], firstMs: number): readonly TogetherVisit[] => {
  const worst = (yardId: string): number =>
    Math.max(...resets.filter((one) => one.yard.id === yardId).map((one) => one.daysLate));
  const ordered = resets.toSorted(
    (a, b) =>
      worst(b.yard.id) - worst(a.yard.id) ||
      a.yard.id.localeCompare(b.yard.id) ||
      b.daysLate - a.daysLate ||
      a.horse.name.localeCompare(b.horse.name),
  );
  let atMs = firstMs;
  return ordered.map((reset, index) => {
    const before = ordered[index - 1];
    if (before !== undefined && before.yard.id !== reset.yard.id)
      atMs += BETWEEN_YARDS_MINUTES * MS_PER_MINUTE;
    const visit = { reset, startMs: atMs, minutes: reset.bookedMinutes ?? reset.estimatedMinutes };
    atMs += visit.minutes * MS_PER_MINUTE;
    return visit;
  });
};
