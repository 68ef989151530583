import type { HorizonModel } from "./horizon-model.ts";
import { fitsAt, rowTimes, type RowTimes } from "./row-times.ts";

/**
 * A plan in the making. Rows are replaced, never changed in place, so copies are cheap and what was
 * found for a row stays true for it.
 */
export interface HorizonDraft {
  /** Resets of each farrier's day in order. */
  readonly rows: (readonly number[])[];
  /** Day of each reset, −1 for none. */
  readonly dayOf: Int32Array;
  /** Driving seconds of each day. */
  readonly drive: Float64Array;
  /** Times of each row, worked out when first asked for. */
  readonly times: (RowTimes | undefined)[];
  /** Cheapest place of reset r on day d at `r * days + d`, good while the row is the one it was found in. */
  readonly seen: SeenPlaces;
}

interface SeenPlaces {
  readonly rows: (readonly number[] | undefined)[];
  readonly ats: Int32Array;
  readonly costs: Float64Array;
}

export const emptyDraft = (model: HorizonModel): HorizonDraft => ({
  rows: model.problem.days.map(() => []),
  dayOf: new Int32Array(model.problem.resets.length).fill(-1),
  drive: new Float64Array(model.problem.days.length),
  times: model.problem.days.map(() => undefined),
  seen: {
    rows: Array.from({ length: model.slots.length }, () => undefined),
    ats: new Int32Array(model.slots.length),
    costs: new Float64Array(model.slots.length),
  },
});

export const copyDraft = (draft: HorizonDraft): HorizonDraft => ({
  rows: [...draft.rows],
  dayOf: Int32Array.from(draft.dayOf),
  drive: Float64Array.from(draft.drive),
  times: [...draft.times],
  seen: draft.seen,
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
  const rest = model.breaks[day]!;
  const { isOwed: owesBreak, restMs } = rest;
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

type Fits = (day: number, at: number) => boolean;

/** Cheapest place for a reset on one day; −1 where it fits nowhere. `cost` is without the day's own. */
const cheapestOn = (
  model: HorizonModel,
  row: readonly number[],
  reset: number,
  day: number,
  fits: Fits,
): { readonly at: number; readonly cost: number } => {
  const { places, seconds, placeOf } = model;
  const here = placeOf[reset]!;
  const fresh = row.length === 0 ? model.weights.dayUsedSeconds : 0;
  let cost = Infinity;
  let found = -1;
  for (let at = 0; at <= row.length; at++) {
    const before = at === 0 ? model.startOf[day]! : placeOf[row[at - 1]!]!;
    const after = at === row.length ? model.endOf[day]! : placeOf[row[at]!]!;
    const change =
      fresh +
      seconds[before * places + here]! +
      seconds[here * places + after]! -
      (row.length === 0 ? 0 : seconds[before * places + after]!);
    if (change >= cost || !fits(day, at)) continue;
    cost = change;
    found = at;
  }
  return { at: found, cost };
};

/**
 * Cheapest place for a reset; undefined when it fits nowhere. Places are judged by the kept times of
 * each row and remembered while the row stays as it is; the one chosen is driven through once more,
 * because sums in another order may round apart.
 */
export const bestInsertion = (
  model: HorizonModel,
  draft: HorizonDraft,
  reset: number,
): Insertion | undefined => {
  const found = cheapestPlace(model, draft, reset, (row, day) => {
    const key = reset * model.problem.days.length + day;
    const { rows, ats, costs } = draft.seen;
    if (rows[key] !== row) {
      const times = (draft.times[day] ??= rowTimes(model, day, row));
      const place = cheapestOn(model, row, reset, day, (_, at) =>
        fitsAt(model, day, row, times, reset, at),
      );
      rows[key] = row;
      ats[key] = place.at;
      costs[key] = place.cost;
    }
    return { at: ats[key]!, cost: costs[key]! };
  });
  if (found === undefined || rowFits(model, found.day, draft.rows[found.day]!, reset, found.at))
    return found;
  return cheapestPlace(model, draft, reset, (row, day) =>
    cheapestOn(model, row, reset, day, (_, at) => rowFits(model, day, row, reset, at)),
  );
};

const cheapestPlace = (
  model: HorizonModel,
  draft: HorizonDraft,
  reset: number,
  onDay: (row: readonly number[], day: number) => { readonly at: number; readonly cost: number },
): Insertion | undefined => {
  const days = model.problem.days.length;
  let best = Infinity;
  let second = Infinity;
  let bestDay = -1;
  let bestAt = 0;
  for (const day of model.choices[reset]!) {
    const base = model.placeCost[reset * days + day]!;
    // Choices come cheapest first, so nothing better can follow.
    if (base >= second) break;
    const place = onDay(draft.rows[day]!, day);
    const cost = base + place.cost;
    if (cost >= second || vetTaken(model, draft, reset, day)) continue;
    if (cost < best) {
      second = best;
      best = cost;
      bestDay = day;
      bestAt = place.at;
    } else second = cost;
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
  draft.times[day] = undefined;
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
    draft.times[day] = undefined;
  }
  return taken;
};
