import type { SearchClock } from "../search-clock.ts";
import type { Neighbourhoods } from "./neighbourhoods.ts";
import type { PositionWindows } from "./position-windows.ts";
import { relaxedPass, type RelaxedPass } from "./relaxed-pass.ts";
import type { TourView } from "./tour-view.ts";

/** Multipliers and the best bound found with them. */
export interface RaisedBound {
  readonly multipliers: Float64Array;
  readonly bound: number;
  /** The pass that gave the bound, in the direction of the view given. */
  readonly pass: RelaxedPass;
}

/** Sum of the multipliers: what every real tour gets back for its one visit to each stop. */
export const multiplierSum = (multipliers: Float64Array): number => {
  let sum = 0;
  for (const multiplier of multipliers) sum += multiplier;
  return sum;
};

/**
 * Raises the lower bound by paying for stops that the relaxed walk leaves out and charging for those
 * it visits twice (subgradient ascent on the visit-once constraints).
 *
 * source: Held, Wolfe & Crowder 1974, Mathematical Programming 6:62–88 (step rule); the direction is
 * smoothed with the last one as in Camerini, Fratta & Maffioli 1975, Mathematical Programming
 * Study 3:26–34.
 *
 * `cost` is that of the best order known; the ascent stops as soon as the bound passes `target`.
 *
 * @returns undefined when not even one pass fits the label limit or the clock.
 */
export const raiseBound = (
  view: TourView,
  memory: Neighbourhoods,
  windows: PositionWindows,
  start: Float64Array,
  cost: number,
  target: number,
  rounds: number,
  mostLabels: number,
  clock: SearchClock,
): RaisedBound | undefined => {
  const { size } = view;
  let multipliers = Float64Array.from(start);
  let best: RaisedBound | undefined;
  let direction = new Float64Array(size);
  let pace = 1;
  let idle = 0;
  for (let round = 0; round < rounds; round++) {
    const pass = relaxedPass({
      view,
      memory,
      windows,
      multipliers,
      ceiling: Infinity,
      mostLabels,
      clock,
    });
    if (pass === undefined) break;
    if (pass.walk.length === 0) return { multipliers, bound: Infinity, pass };
    const bound = pass.best + multiplierSum(multipliers);
    if (best === undefined || bound > best.bound + 1e-9) {
      idle = 0;
      best = { multipliers: Float64Array.from(multipliers), bound, pass };
    } else idle++;
    if (best.bound > target) break;
    if (idle >= 4) {
      pace /= 2;
      idle = 0;
      if (pace < 0.02) break;
      multipliers = Float64Array.from(best.multipliers);
      direction.fill(0);
    }
    const turn = new Float64Array(size).fill(1);
    for (const stop of pass.walk) turn[stop]!--;
    let length = 0;
    const next = new Float64Array(size);
    for (let stop = 0; stop < size; stop++) {
      next[stop] = turn[stop]! + 0.6 * direction[stop]!;
      length += next[stop]! ** 2;
    }
    if (turn.every((value) => value === 0)) break;
    direction = next;
    const gap = Math.max(cost - bound, 1e-3 * Math.abs(cost));
    const step = (pace * gap) / Math.max(length, 1);
    multipliers = multipliers.map((value, stop) => value + step * direction[stop]!);
  }
  return best;
};

/**
 * Makes the stops inside each cycle of a relaxed walk remember the stop that came twice, so that the
 * same cycle cannot come back. Shortest cycles first. Returns how many memories grew.
 */
export const forgetNoCycle = (memory: Neighbourhoods, walk: readonly number[]): number => {
  const cycles: [number, number][] = [];
  const lastSeen = new Map<number, number>();
  walk.forEach((stop, position) => {
    const seen = lastSeen.get(stop);
    if (seen !== undefined) cycles.push([seen, position]);
    lastSeen.set(stop, position);
  });
  cycles.sort((a, b) => a[1] - a[0] - (b[1] - b[0]) || a[0] - b[0]);
  let grown = 0;
  for (const [from, to] of cycles)
    for (let position = from + 1; position < to; position++)
      if (memory.remember(walk[position]!, walk[from]!)) grown++;
  return grown;
};
