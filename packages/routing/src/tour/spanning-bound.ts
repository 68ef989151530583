import type { TourView } from "./tour-view.ts";

/**
 * Starting multipliers from the spanning-tree relaxation: a tree over the stops plus the cheapest way
 * out and the cheapest way home, every stop pulled towards two neighbours. It knows nothing of
 * windows (only of arcs they rule out) but costs next to nothing.
 *
 * source: Held & Karp 1971, Mathematical Programming 1:6–25.
 */
export const spanningMultipliers = (
  view: TourView,
  cost: number,
  rounds: number,
): { readonly multipliers: Float64Array; readonly bound: number } => {
  const { size, width, source, sink, allowed } = view;
  const edge = new Float64Array(size * size).fill(Infinity);
  const arc = (from: number, to: number): number =>
    allowed[from * width + to] === 1 ? view.cost[from * width + to]! : Infinity;
  for (let a = 0; a < size; a++)
    for (let b = 0; b < size; b++) edge[a * size + b] = Math.min(arc(a, b), arc(b, a));
  const pull = new Float64Array(size);
  let best = new Float64Array(size);
  let bound = -Infinity;
  let pace = 1;
  let idle = 0;
  const parent = new Int32Array(size);
  const nearest = new Float64Array(size);
  const inTree = new Uint8Array(size);
  const degree = new Int32Array(size);
  const last = new Float64Array(size);
  for (let round = 0; round < rounds; round++) {
    // Prim's tree; each end of an edge carries half of its stop's multiplier.
    degree.fill(0);
    inTree.fill(0);
    nearest.fill(Infinity);
    nearest[0] = 0;
    parent[0] = -1;
    let total = 0;
    for (let step = 0; step < size; step++) {
      let next = -1;
      for (let stop = 0; stop < size; stop++)
        if (inTree[stop] === 0 && (next < 0 || nearest[stop]! < nearest[next]!)) next = stop;
      inTree[next] = 1;
      total += nearest[next]!;
      if (parent[next]! >= 0) {
        degree[next]!++;
        degree[parent[next]!]!++;
      }
      for (let stop = 0; stop < size; stop++) {
        if (inTree[stop] === 1) continue;
        const value = edge[next * size + stop]! - (pull[next]! + pull[stop]!) / 2;
        if (value < nearest[stop]!) {
          nearest[stop] = value;
          parent[stop] = next;
        }
      }
    }
    for (const way of ["out", "home"] as const) {
      let least = Infinity;
      let end = 0;
      for (let stop = 0; stop < size; stop++) {
        const value = (way === "out" ? arc(source, stop) : arc(stop, sink)) - pull[stop]! / 2;
        if (value < least) {
          least = value;
          end = stop;
        }
      }
      total += least;
      degree[end]!++;
    }
    for (const value of pull) total += value;
    if (total > bound) {
      bound = total;
      best = Float64Array.from(pull);
      idle = 0;
    } else if (++idle >= 6) {
      pace /= 2;
      idle = 0;
      if (pace < 0.01) break;
      pull.set(best);
      last.fill(0);
    }
    let length = 0;
    for (let stop = 0; stop < size; stop++) {
      last[stop] = 2 - degree[stop]! + 0.6 * last[stop]!;
      length += last[stop]! ** 2;
    }
    if (length === 0 || !Number.isFinite(total)) break;
    const step = (2 * pace * Math.max(cost - total, 1e-3 * Math.abs(cost))) / length;
    for (let stop = 0; stop < size; stop++) pull[stop]! += step * last[stop]!;
  }
  return { multipliers: best, bound };
};
