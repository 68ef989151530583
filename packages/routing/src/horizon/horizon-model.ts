import {
  DAY_USED_SECONDS,
  EARLY_DAY_SECONDS,
  MOVED_PROMISE_SECONDS,
  UNPLACED_DAYS,
} from "../settings.ts";
import type {
  DueReset,
  FarrierDay,
  HorizonProblem,
  HorizonWeights,
  VetVisit,
  YardOpening,
} from "./horizon-types.ts";

/** Why a reset cannot go on a farrier's day, the first reason found. */
export type Obstacle =
  | "fixed elsewhere"
  | "other farrier"
  | "skill"
  | "too early"
  | "past the ceiling"
  | "yard closed"
  | "no helper"
  | "no vet"
  | "window too short"
  | "day full";

/** A slot of a reset on a day: window for the start of work, and the vet's visit it uses. */
export interface Slot {
  readonly openMs: number;
  readonly closeMs: number;
  readonly vetVisit: number;
}

/** The break of a day, as far as there is one to keep. */
export interface OwedBreak {
  readonly isOwed: boolean;
  readonly fromMs: number;
  readonly untilMs: number;
  readonly restMs: number;
}

const owedBreak = ({ dayBreak, startMs }: FarrierDay): OwedBreak => {
  const restMs = (dayBreak?.minutes ?? 0) * 60_000;
  return dayBreak !== undefined && restMs > 0 && dayBreak.untilMs >= startMs
    ? { isOwed: true, fromMs: dayBreak.fromMs, untilMs: dayBreak.untilMs, restMs }
    : { isOwed: false, fromMs: 0, untilMs: 0, restMs: 0 };
};

/** The problem with everything looked up once. */
export interface HorizonModel {
  readonly problem: HorizonProblem;
  readonly weights: HorizonWeights;
  readonly places: number;
  /** `seconds[from * places + to]`. */
  readonly seconds: Float64Array;
  readonly placeOf: Int32Array;
  readonly startOf: Int32Array;
  readonly endOf: Int32Array;
  readonly serviceMs: Float64Array;
  readonly breaks: readonly OwedBreak[];
  /** Slot or obstacle of reset r on day d at `r * days + d`. */
  readonly slots: readonly (Slot | Obstacle)[];
  /** Days late if done on that day. */
  readonly lateDays: Float64Array;
  /** Scalar cost of reset r on day d (lateness, earliness, moved promise); Infinity: impossible. */
  readonly placeCost: Float64Array;
  readonly unplacedCost: Float64Array;
  readonly unplacedDays: Float64Array;
  /** Possible days of each reset, cheapest first. */
  readonly choices: readonly Int32Array[];
  /** Scalar cost of one late point; larger than all driving together. */
  readonly pointCost: number;
}

/** Day number of a calendar date. @throws RangeError when it is none. */
export const dayNumber = (on: string): number => {
  const at = Date.parse(`${on}T00:00:00Z`);
  if (!/^\d{4}-\d{2}-\d{2}$/.test(on) || Number.isNaN(at))
    throw new RangeError(`not a date: ${on}`);
  return Math.round(at / 86_400_000);
};

const keyOf = (placeId: string, on: string): string => `${on} ${placeId}`;

const slotFor = (
  reset: DueReset,
  day: FarrierDay,
  skills: readonly string[],
  firstDay: number,
  opening: YardOpening | undefined,
  visits: readonly (readonly [number, VetVisit])[],
): Slot | Obstacle => {
  if (
    reset.fixed !== undefined &&
    (reset.fixed.farrierId !== day.farrierId || reset.fixed.on !== day.on)
  )
    return "fixed elsewhere";
  if (reset.onlyFarrierIds !== undefined && !reset.onlyFarrierIds.includes(day.farrierId))
    return "other farrier";
  if (!(reset.skills ?? []).every((skill) => skills.includes(skill))) return "skill";
  const on = dayNumber(day.on);
  if (on < dayNumber(reset.earliestOn)) return "too early";
  if (reset.ceilingOn !== undefined) {
    const ceiling = dayNumber(reset.ceilingOn);
    if (ceiling >= firstDay && on > ceiling) return "past the ceiling";
  }
  if (opening === undefined) return "yard closed";
  const serviceMs = reset.serviceMinutes * 60_000;
  let openMs = Math.max(day.startMs, opening.openMs);
  let endMs = Math.min(day.endMs, opening.closeMs);
  if (reset.helperNeeded === true) {
    if (opening.helper === undefined) return "no helper";
    openMs = Math.max(openMs, opening.helper.openMs);
    endMs = Math.min(endMs, opening.helper.closeMs);
  }
  let closeMs = endMs - serviceMs;
  if (reset.fixed?.window !== undefined) {
    openMs = Math.max(openMs, reset.fixed.window.openMs);
    closeMs = Math.min(closeMs, reset.fixed.window.closeMs);
  }
  if (reset.vetNeeded !== true)
    return openMs <= closeMs ? { openMs, closeMs, vetVisit: -1 } : "window too short";
  let best: Slot | undefined;
  for (const [index, visit] of visits) {
    const from = Math.max(openMs, visit.openMs);
    const until = Math.min(closeMs, visit.closeMs - serviceMs);
    if (from <= until && (best === undefined || until - from > best.closeMs - best.openMs))
      best = { openMs: from, closeMs: until, vetVisit: index };
  }
  if (best !== undefined) return best;
  return visits.length === 0 ? "no vet" : "window too short";
};

/**
 * The same problem with a late point worth less: so much that lateness still leads, so little that a
 * search may trade a point now for two later on. The plan itself is judged by the full price.
 */
export const softerModel = (model: HorizonModel, pointCost: number): HorizonModel => {
  if (pointCost >= model.pointCost) return model;
  const { resets, days } = model.problem;
  const placeCost = Float64Array.from(model.placeCost);
  const unplacedCost = Float64Array.from(model.unplacedCost);
  resets.forEach((reset, r) => {
    const less = (model.pointCost - pointCost) * reset.welfareWeight;
    for (const day of model.choices[r]!) {
      const at = r * days.length + day;
      placeCost[at] = placeCost[at]! - less * model.lateDays[at]!;
    }
    unplacedCost[r] = unplacedCost[r]! - less * model.unplacedDays[r]!;
  });
  const choices = model.choices.map((possible, r) =>
    Int32Array.from(possible).sort(
      (a, b) => placeCost[r * days.length + a]! - placeCost[r * days.length + b]! || a - b,
    ),
  );
  return { ...model, pointCost, placeCost, unplacedCost, choices };
};

/** Looks everything up once. @throws RangeError on unknown places, farriers or bad dates. */
export const horizonModel = (
  problem: HorizonProblem,
  given: Partial<HorizonWeights> = {},
): HorizonModel => {
  const weights: HorizonWeights = {
    movedPromiseSeconds: given.movedPromiseSeconds ?? MOVED_PROMISE_SECONDS.value,
    dayUsedSeconds: given.dayUsedSeconds ?? DAY_USED_SECONDS.value,
    earlyDaySeconds: given.earlyDaySeconds ?? EARLY_DAY_SECONDS.value,
    unplacedDays: given.unplacedDays ?? UNPLACED_DAYS.value,
  };
  const { resets, days, drive } = problem;
  const rows = new Map(drive.placeIds.map((id, row) => [id, row]));
  const rowOf = (placeId: string): number => {
    const row = rows.get(placeId);
    if (row === undefined) throw new RangeError(`no drive times for place ${placeId}`);
    return row;
  };
  const skillsOf = new Map(problem.farriers.map((farrier) => [farrier.id, farrier.skills]));
  const openings = new Map(
    problem.openings.map((opening) => [keyOf(opening.placeId, opening.on), opening]),
  );
  const visits = new Map<string, [number, VetVisit][]>();
  (problem.vetVisits ?? []).forEach((visit, index) => {
    const key = keyOf(visit.placeId, visit.on);
    visits.set(key, [...(visits.get(key) ?? []), [index, visit]]);
  });
  const byFarrier = [...days].sort((a, b) =>
    a.farrierId < b.farrierId ? -1 : a.farrierId > b.farrierId ? 1 : a.startMs - b.startMs,
  );
  byFarrier.forEach((day, index) => {
    const previous = byFarrier[index - 1];
    if (previous?.farrierId === day.farrierId && previous.endMs > day.startMs)
      throw new RangeError(`days of farrier ${day.farrierId} overlap on ${day.on}`);
  });
  const places = drive.placeIds.length;
  const seconds = Float64Array.from(drive.seconds.flat());
  const numbers = days.map((day) => dayNumber(day.on));
  const firstDay = numbers.length > 0 ? Math.min(...numbers) : 0;
  const lastDay = numbers.length > 0 ? Math.max(...numbers) : 0;
  const slots: (Slot | Obstacle)[] = [];
  const lateDays = new Float64Array(resets.length * days.length);
  for (const [r, reset] of resets.entries()) {
    if (!(reset.welfareWeight > 0) || !(reset.serviceMinutes >= 0))
      throw new RangeError(`reset ${reset.id} needs a weight above 0 and a service time`);
    const due = dayNumber(reset.dueOn);
    days.forEach((day, d) => {
      const skills = skillsOf.get(day.farrierId);
      if (skills === undefined) throw new RangeError(`unknown farrier ${day.farrierId}`);
      const key = keyOf(reset.placeId, day.on);
      slots.push(slotFor(reset, day, skills, firstDay, openings.get(key), visits.get(key) ?? []));
      lateDays[r * days.length + d] = Math.max(0, numbers[d]! - due);
    });
  }
  const least = Math.min(1, ...resets.map((reset) => reset.welfareWeight));
  const longest = seconds.reduce(
    (most, value) => (Number.isFinite(value) ? Math.max(most, value) : most),
    0,
  );
  const span = lastDay - firstDay + 400;
  const pointCost =
    (1 +
      resets.length *
        (2 * longest +
          weights.dayUsedSeconds +
          weights.movedPromiseSeconds +
          weights.earlyDaySeconds * span)) /
    least;
  const placeCost = new Float64Array(slots.length).fill(Infinity);
  const unplacedDays = new Float64Array(resets.length);
  const unplacedCost = new Float64Array(resets.length);
  const choices: Int32Array[] = [];
  for (const [r, reset] of resets.entries()) {
    const due = dayNumber(reset.dueOn);
    unplacedDays[r] = Math.max(0, lastDay - due) + weights.unplacedDays;
    unplacedCost[r] = pointCost * reset.welfareWeight * unplacedDays[r]!;
    const possible: number[] = [];
    days.forEach((day, d) => {
      const at = r * days.length + d;
      if (typeof slots[at] === "string") return;
      const moved =
        reset.promised !== undefined &&
        (reset.promised.farrierId !== day.farrierId || reset.promised.on !== day.on);
      placeCost[at] =
        pointCost * reset.welfareWeight * lateDays[at]! +
        weights.earlyDaySeconds * Math.max(0, due - numbers[d]!) +
        (moved ? weights.movedPromiseSeconds : 0);
      possible.push(d);
    });
    choices.push(
      Int32Array.from(possible).sort(
        (a, b) => placeCost[r * days.length + a]! - placeCost[r * days.length + b]! || a - b,
      ),
    );
  }
  return {
    problem,
    weights,
    places,
    seconds,
    placeOf: Int32Array.from(resets, (reset) => rowOf(reset.placeId)),
    startOf: Int32Array.from(days, (day) => rowOf(day.startPlaceId)),
    endOf: Int32Array.from(days, (day) => rowOf(day.endPlaceId)),
    serviceMs: Float64Array.from(resets, (reset) => reset.serviceMinutes * 60_000),
    breaks: days.map(owedBreak),
    slots,
    lateDays,
    placeCost,
    unplacedCost,
    unplacedDays,
    choices,
    pointCost,
  };
};
