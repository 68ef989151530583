import type { Neighbourhoods } from "./neighbourhoods.ts";
import { completionCost, type RelaxedPass } from "./relaxed-pass.ts";
import type { TourView } from "./tour-view.ts";

/**
 * Lower bound on what a partial order still has to pay (under the multipliers), given its last stop,
 * its position, whether the pause is taken, the start of work there, and the stops visited as bits.
 */
export type LeastRest = (
  position: number,
  stop: number,
  state: number,
  at: number,
  visited: Int32Array,
) => number;

const has = (set: Int32Array, stop: number): boolean =>
  (set[stop >> 5]! & (1 << (stop & 31))) !== 0;

/** The rest by a relaxed pass of the reversed tour: knows windows, forgets some visits. */
export const restByPass =
  (
    view: TourView,
    backward: RelaxedPass,
    memory: Neighbourhoods,
    multipliers: Float64Array,
  ): LeastRest =>
  (position, stop, state, at, visited) => {
    let seen = 0;
    const members = memory.members[stop]!;
    for (let bit = 0; bit < members.length; bit++)
      if (has(visited, members[bit]!)) seen |= 1 << bit;
    return completionCost(backward, view, position, stop, state, at, seen, multipliers[stop]!);
  };

/**
 * The rest by a spanning tree over the last stop and all stops to come plus the cheapest way home:
 * forgets no visit, knows no windows. The multipliers should come from the same relaxation.
 * source: Held & Karp 1971, Mathematical Programming 1:6–25.
 */
export const restByTree = (view: TourView, multipliers: Float64Array): LeastRest => {
  const { size, width, sink, allowed, cost } = view;
  const arc = (from: number, to: number): number =>
    allowed[from * width + to] === 1 ? cost[from * width + to]! : Infinity;
  const edge = new Float64Array(size * size);
  const home = new Float64Array(size);
  for (let a = 0; a < size; a++) {
    home[a] = arc(a, sink) - multipliers[a]! / 2;
    for (let b = 0; b < size; b++)
      edge[a * size + b] = Math.min(arc(a, b), arc(b, a)) - (multipliers[a]! + multipliers[b]!) / 2;
  }
  const open = new Int32Array(size);
  const nearest = new Float64Array(size);
  return (_position, stop, _state, _at, visited) => {
    let left = 0;
    let wayHome = Infinity;
    for (let other = 0; other < size; other++) {
      if (has(visited, other)) continue;
      open[left] = other;
      nearest[left] = edge[stop * size + other]!;
      wayHome = Math.min(wayHome, home[other]!);
      left++;
    }
    if (left === 0) return arc(stop, sink);
    let total = wayHome + multipliers[stop]! / 2;
    while (left > 0) {
      let next = 0;
      for (let index = 1; index < left; index++) if (nearest[index]! < nearest[next]!) next = index;
      total += nearest[next]!;
      const joined = open[next]!;
      left--;
      open[next] = open[left]!;
      nearest[next] = nearest[left]!;
      for (let index = 0; index < left; index++) {
        const value = edge[joined * size + open[index]!]!;
        if (value < nearest[index]!) nearest[index] = value;
      }
    }
    return total;
  };
};
