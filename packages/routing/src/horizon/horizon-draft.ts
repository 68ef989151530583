import type { HorizonModel } from "./horizon-model.ts";

/** A plan in the making. Rows are replaced, never changed in place, so copies are cheap. */
export interface HorizonDraft {
  /** Resets of each farrier's day in order. */
  readonly rows: (readonly number[])[];
  /** Day of each reset, −1 for none. */
  readonly dayOf: Int32Array;
  /** Driving seconds of each day. */
  readonly drive: Float64Array;
}

export const emptyDraft = (model: HorizonModel): HorizonDraft => ({
  rows: model.problem.days.map(() => []),
  dayOf: new Int32Array(model.problem.resets.length).fill(-1),
  drive: new Float64Array(model.problem.days.length),
});

export const copyDraft = (draft: HorizonDraft): HorizonDraft => ({
  rows: [...draft.rows],
  dayOf: Int32Array.from(draft.dayOf),
  drive: Float64Array.from(draft.drive),
});

/** Driving seconds of a row. */
const rowDrive = (model: HorizonModel, day: number, row: readonly number[]): number => {
  if (row.length === 0) return 0;
  let at = model.startOf[day]!;
  let total = 0;
  for (const reset of row) {
    total += model.seconds[at * model.places + model.placeOf[reset]!]!;
    at = model.placeOf[reset]!;
  }
  return total + model.seconds[at * model.places + model.endOf[day]!]!;
};

/**
 * True when the row, with `extra` put in before position `at` (−1: nothing), keeps every window, the
 * break and the working hours. Both "break taken" and "break to come" are followed.
 */
export const rowFits = (
  model: HorizonModel,
  day: number,
  row: readonly number[],
  extra: number,
  at: number,
): boolean => {
  const { problem, places, seconds, placeOf, serviceMs, slots } = model;
  const farrierDay = problem.days[day]!;
  const rest = farrierDay.dayBreak;
  const restMs = (rest?.minutes ?? 0) * 60_000;
  const owesBreak = rest !== undefined && restMs > 0 && rest.untilMs >= farrierDay.startMs;
  let plain = farrierDay.startMs;
  let rested = owesBreak ? Infinity : farrierDay.startMs;
  let place = model.startOf[day]!;
  const length = row.length + (extra >= 0 ? 1 : 0);
  for (let step = 0; step <= length; step++) {
    const reset =
      step === length
        ? -1
        : extra < 0 || step < at
          ? row[step]!
          : step === at
            ? extra
            : row[step - 1]!;
    const next = reset < 0 ? model.endOf[day]! : placeOf[reset]!;
    const driveMs = seconds[place * places + next]! * 1000;
    let openMs = farrierDay.startMs;
    let closeMs = farrierDay.endMs;
    if (reset >= 0) {
      const slot = slots[reset * problem.days.length + day]!;
      if (typeof slot === "string") return false;
      openMs = slot.openMs;
      closeMs = slot.closeMs;
    }
    let restedNext = rested + driveMs;
    if (owesBreak) {
      const leaving = Math.max(plain, rest.fromMs);
      if (leaving <= rest.untilMs) restedNext = Math.min(restedNext, leaving + restMs + driveMs);
      const arriving = Math.max(plain + driveMs, rest.fromMs);
      if (arriving <= rest.untilMs) restedNext = Math.min(restedNext, arriving + restMs);
    }
    plain = Math.max(openMs, plain + driveMs);
    rested = Math.max(openMs, restedNext);
    if (plain > closeMs) plain = Infinity;
    if (rested > closeMs) rested = Infinity;
    if (plain === Infinity && rested === Infinity) return false;
    if (reset >= 0) {
      plain += serviceMs[reset]!;
      rested += serviceMs[reset]!;
    }
    place = next;
  }
  if (!owesBreak) return true;
  return rested < Infinity || plain <= rest.untilMs;
};

/** True when another farrier already shares the vet's visit this reset would need that day. */
export const vetTaken = (
  model: HorizonModel,
  draft: HorizonDraft,
  reset: number,
  day: number,
): boolean => {
  const { days, resets } = model.problem;
  const slot = model.slots[reset * days.length + day]!;
  if (typeof slot === "string" || slot.vetVisit < 0) return false;
  for (let other = 0; other < resets.length; other++) {
    const otherDay = draft.dayOf[other]!;
    if (otherDay < 0 || otherDay === day || other === reset) continue;
    if (days[otherDay]!.on !== days[day]!.on) continue;
    const used = model.slots[other * days.length + otherDay]!;
    if (typeof used !== "string" && used.vetVisit === slot.vetVisit) return true;
  }
  return false;
};

/** Scalar cost of a draft. */
export const draftCost = (model: HorizonModel, draft: HorizonDraft): number => {
  const days = model.problem.days.length;
  let total = 0;
  for (let reset = 0; reset < draft.dayOf.length; reset++) {
    const day = draft.dayOf[reset]!;
    total += day < 0 ? model.unplacedCost[reset]! : model.placeCost[reset * days + day]!;
  }
  for (let day = 0; day < days; day++)
    if (draft.rows[day]!.length > 0) total += draft.drive[day]! + model.weights.dayUsedSeconds;
  return total;
};

/** A place for one reset. `second` is the cost of the best place on another day. */
export interface Insertion {
  readonly day: number;
  readonly at: number;
  readonly cost: number;
  readonly second: number;
}

/** Cheapest place for a reset; undefined when it fits nowhere. */
export const bestInsertion = (
  model: HorizonModel,
  draft: HorizonDraft,
  reset: number,
): Insertion | undefined => {
  const { places, seconds, placeOf } = model;
  const days = model.problem.days.length;
  const here = placeOf[reset]!;
  let best = Infinity;
  let second = Infinity;
  let bestDay = -1;
  let bestAt = 0;
  for (const day of model.choices[reset]!) {
    const base = model.placeCost[reset * days + day]!;
    // Choices come cheapest first, so nothing better can follow.
    if (base >= second) break;
    const row = draft.rows[day]!;
    const fresh = row.length === 0 ? model.weights.dayUsedSeconds : 0;
    let cheapest = Infinity;
    let cheapestAt = -1;
    for (let at = 0; at <= row.length; at++) {
      const before = at === 0 ? model.startOf[day]! : placeOf[row[at - 1]!]!;
      const after = at === row.length ? model.endOf[day]! : placeOf[row[at]!]!;
      const change =
        seconds[before * places + here]! +
        seconds[here * places + after]! -
        (row.length === 0 ? 0 : seconds[before * places + after]!);
      const cost = base + fresh + change;
      if (cost >= cheapest || cost >= second) continue;
      if (!rowFits(model, day, row, reset, at)) continue;
      cheapest = cost;
      cheapestAt = at;
    }
    if (cheapestAt < 0 || vetTaken(model, draft, reset, day)) continue;
    if (cheapest < best) {
      second = best;
      best = cheapest;
      bestDay = day;
      bestAt = cheapestAt;
    } else if (cheapest < second) second = cheapest;
  }
  return bestDay < 0 ? undefined : { day: bestDay, at: bestAt, cost: best, second };
};

/** Puts a reset in. The draft is changed. */
export const insert = (
  model: HorizonModel,
  draft: HorizonDraft,
  reset: number,
  day: number,
  at: number,
): void => {
  const row = draft.rows[day]!;
  draft.rows[day] = [...row.slice(0, at), reset, ...row.slice(at)];
  draft.dayOf[reset] = day;
  draft.drive[day] = rowDrive(model, day, draft.rows[day]);
};

/**
 * Takes resets out. The draft is changed. Where a road server breaks the triangle rule, leaving a
 * stop out can make the rest late; such a row is emptied altogether.
 */
export const remove = (
  model: HorizonModel,
  draft: HorizonDraft,
  gone: readonly number[],
): readonly number[] => {
  const taken = [...gone];
  const touched = new Set<number>();
  for (const reset of gone) {
    const day = draft.dayOf[reset]!;
    if (day < 0) continue;
    touched.add(day);
    draft.rows[day] = draft.rows[day]!.filter((other) => other !== reset);
    draft.dayOf[reset] = -1;
  }
  for (const day of touched) {
    if (!rowFits(model, day, draft.rows[day]!, -1, 0)) {
      for (const reset of draft.rows[day]!) {
        draft.dayOf[reset] = -1;
        taken.push(reset);
      }
      draft.rows[day] = [];
    }
    draft.drive[day] = rowDrive(model, day, draft.rows[day]!);
  }
  return taken;
};
