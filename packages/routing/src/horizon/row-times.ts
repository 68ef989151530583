import type { HorizonModel, OwedBreak } from "./horizon-model.ts";

/**
 * The times of one farrier's day: how early each stop can be left and how late it can be reached, so
 * that one more stop is judged without driving the day again. Two states are followed: the break
 * still to come ("plain") and the break taken ("rested").
 */
export interface RowTimes {
  /** Earliest time of leaving the start (0) and each stop (its position + 1). */
  readonly plainLeave: Float64Array;
  readonly restedLeave: Float64Array;
  /** Latest arrival at each stop and, last, at the end. */
  readonly plainBy: Float64Array;
  readonly restedBy: Float64Array;
}

/** Earliest arrival with the break taken, when it is taken on this drive or was before. */
const restedArrival = (plain: number, rested: number, driveMs: number, rest: OwedBreak): number => {
  let arrival = rested + driveMs;
  if (rest.isOwed && plain < Infinity) {
    const leaving = Math.max(plain, rest.fromMs);
    if (leaving <= rest.untilMs) arrival = Math.min(arrival, leaving + rest.restMs + driveMs);
    const arriving = Math.max(plain + driveMs, rest.fromMs);
    if (arriving <= rest.untilMs) arrival = Math.min(arrival, arriving + rest.restMs);
  }
  return arrival;
};

/** Latest time to leave with the break to come, so that the next place is reached in time. */
const latestPlainLeave = (
  plainBy: number,
  restedBy: number,
  driveMs: number,
  rest: OwedBreak,
): number => {
  let latest = plainBy - driveMs;
  if (rest.isOwed) {
    const leaving = Math.min(rest.untilMs, restedBy - rest.restMs - driveMs);
    if (leaving >= rest.fromMs) latest = Math.max(latest, leaving);
    const arriving = Math.min(rest.untilMs, restedBy - rest.restMs);
    if (arriving >= rest.fromMs) latest = Math.max(latest, arriving - driveMs);
  }
  return latest;
};

/** Works out the times of a row that keeps its windows. */
export const rowTimes = (model: HorizonModel, day: number, row: readonly number[]): RowTimes => {
  const { problem, places, seconds, placeOf, serviceMs, slots } = model;
  const { startMs, endMs } = problem.days[day]!;
  const rest = model.breaks[day]!;
  const count = row.length;
  const plainLeave = new Float64Array(count + 1).fill(Infinity);
  const restedLeave = new Float64Array(count + 1).fill(Infinity);
  const plainBy = new Float64Array(count + 1).fill(-Infinity);
  const restedBy = new Float64Array(count + 1).fill(-Infinity);
  plainLeave[0] = rest.isOwed ? startMs : Infinity;
  restedLeave[0] = rest.isOwed ? Infinity : startMs;
  let place = model.startOf[day]!;
  for (let at = 0; at < count; at++) {
    const reset = row[at]!;
    const slot = slots[reset * problem.days.length + day]!;
    if (typeof slot === "string") break;
    const driveMs = seconds[place * places + placeOf[reset]!]! * 1000;
    const plain = Math.max(slot.openMs, plainLeave[at]! + driveMs);
    const rested = Math.max(
      slot.openMs,
      restedArrival(plainLeave[at]!, restedLeave[at]!, driveMs, rest),
    );
    if (plain <= slot.closeMs) plainLeave[at + 1] = plain + serviceMs[reset]!;
    if (rested <= slot.closeMs) restedLeave[at + 1] = rested + serviceMs[reset]!;
    place = placeOf[reset]!;
  }
  // A day that is over before the break's last start needs none.
  plainBy[count] = rest.isOwed ? Math.min(endMs, rest.untilMs) : -Infinity;
  restedBy[count] = endMs;
  let next = model.endOf[day]!;
  for (let at = count - 1; at >= 0; at--) {
    const reset = row[at]!;
    const slot = slots[reset * problem.days.length + day]!;
    if (typeof slot === "string") break;
    const driveMs = seconds[placeOf[reset]! * places + next]! * 1000;
    const plain = Math.min(
      slot.closeMs,
      latestPlainLeave(plainBy[at + 1]!, restedBy[at + 1]!, driveMs, rest) - serviceMs[reset]!,
    );
    const rested = Math.min(slot.closeMs, restedBy[at + 1]! - driveMs - serviceMs[reset]!);
    if (plain >= slot.openMs) plainBy[at] = plain;
    if (rested >= slot.openMs) restedBy[at] = rested;
    next = placeOf[reset]!;
  }
  return { plainLeave, restedLeave, plainBy, restedBy };
};

/** Whether one more reset fits before position `at` of a row with these times. */
export const fitsAt = (
  model: HorizonModel,
  day: number,
  row: readonly number[],
  times: RowTimes,
  reset: number,
  at: number,
): boolean => {
  const { problem, places, seconds, placeOf, serviceMs, slots } = model;
  const slot = slots[reset * problem.days.length + day]!;
  if (typeof slot === "string") return false;
  const rest = model.breaks[day]!;
  const here = placeOf[reset]!;
  const before = at === 0 ? model.startOf[day]! : placeOf[row[at - 1]!]!;
  const after = at === row.length ? model.endOf[day]! : placeOf[row[at]!]!;
  const inMs = seconds[before * places + here]! * 1000;
  const outMs = seconds[here * places + after]! * 1000;
  const [plainLeft, restedLeft] = [times.plainLeave[at]!, times.restedLeave[at]!];
  const rested = Math.max(slot.openMs, restedArrival(plainLeft, restedLeft, inMs, rest));
  if (rested <= slot.closeMs && rested + serviceMs[reset]! + outMs <= times.restedBy[at]!)
    return true;
  const plain = Math.max(slot.openMs, plainLeft + inMs);
  return (
    plain <= slot.closeMs &&
    plain + serviceMs[reset]! <=
      latestPlainLeave(times.plainBy[at]!, times.restedBy[at]!, outMs, rest)
  );
};
