import type { TourView } from "./tour-view.ts";

/**
 * Earliest times along an order, with and without the pause taken, and how far it breaks the rules.
 *
 * `breach` is the sum of lateness at windows, plus the length of the day for each broken precedence
 * or group, so that a search can walk from a broken order to a sound one. It is exactly 0 when the
 * order is feasible.
 */
export interface TourWalker {
  /** Breach of `order`; stops early (returning a value above `limit`) once the limit is passed. */
  readonly breach: (order: Int32Array, limit: number) => number;
}

/** Bit words needed for a set of `size` stops. */
export const wordsFor = (size: number): number => Math.max(1, Math.ceil(size / 32));

/** For every stop the set of stops that must precede it, as bit words. */
export const predecessorSets = (view: TourView): Int32Array => {
  const { size, before } = view;
  const words = wordsFor(size);
  const sets = new Int32Array(size * words);
  for (let first = 0; first < size; first++)
    for (let later = 0; later < size; later++)
      if (before[first * size + later] === 1)
        sets[later * words + (first >> 5)]! |= 1 << (first & 31);
  return sets;
};

/** For every stop the set of stops in its group (itself included), as bit words. */
export const groupSets = (view: TourView): Int32Array => {
  const { size, group } = view;
  const words = wordsFor(size);
  const sets = new Int32Array(size * words);
  for (let stop = 0; stop < size; stop++)
    for (let other = 0; other < size; other++)
      if (other === stop || (group[stop]! >= 0 && group[other] === group[stop]))
        sets[stop * words + (other >> 5)]! |= 1 << (other & 31);
  return sets;
};

/** Makes a walker with its own scratch space. */
export const tourWalker = (view: TourView): TourWalker => {
  const { size, width, source, sink, time, open, close, pause } = view;
  const { pauseAtLeaving, pauseAtArriving, sinkUnpausedUntil } = view;
  const words = wordsFor(size);
  const needed = predecessorSets(view);
  const together = groupSets(view);
  const hasGroups = view.group.some((group) => group >= 0);
  const penalty = Math.max(1, close[sink]! - open[source]!);
  const seen = new Int32Array(words);

  const breach = (order: Int32Array, limit: number): number => {
    let at = source;
    let plain = view.sourceTime;
    let plainBreach = 0;
    let paused = pause === undefined ? 0 : Infinity;
    let pausedBreach = pause === undefined ? 0 : Infinity;
    let broken = 0;
    seen.fill(0);
    for (let step = 0; step <= size; step++) {
      const to = step === size ? sink : order[step]!;
      const arc = at * width + to;
      const shut = close[to]!;
      if (pause !== undefined) {
        if (pausedBreach < Infinity) {
          paused = Math.max(open[to]!, paused + time[arc]!);
          if (paused > shut) pausedBreach += paused - shut;
        }
        for (let moment = 0; moment < 2; moment++) {
          const offset = moment === 0 ? pauseAtLeaving[arc]! : pauseAtArriving[arc]!;
          const begins = Math.max(plain + offset, pause.from);
          const reached = Math.max(open[to]!, begins + pause.length + time[arc]! - offset);
          let total = plainBreach;
          if (begins > pause.until) total += begins - pause.until;
          if (reached > shut) total += reached - shut;
          if (total < pausedBreach || (total === pausedBreach && reached < paused)) {
            paused = reached;
            pausedBreach = total;
          }
        }
      }
      plain = Math.max(open[to]!, plain + time[arc]!);
      if (plain > shut) plainBreach += plain - shut;
      if (to !== sink) {
        for (let word = 0; word < words; word++)
          if ((needed[to * words + word]! & ~seen[word]!) !== 0) {
            broken += penalty;
            break;
          }
        if (hasGroups && at !== source && view.group[at] !== view.group[to])
          for (let word = 0; word < words; word++)
            if ((together[at * words + word]! & ~seen[word]!) !== 0) {
              broken += penalty;
              break;
            }
        seen[to >> 5]! |= 1 << (to & 31);
      }
      const floor = pause === undefined ? plainBreach : Math.min(plainBreach, pausedBreach);
      if (broken + floor > limit) return broken + floor;
      at = to;
    }
    if (pause === undefined) return broken + plainBreach;
    const unpaused = plainBreach + Math.max(0, plain - sinkUnpausedUntil);
    return broken + Math.min(pausedBreach, unpaused);
  };

  return { breach };
};

/** Total cost of an order, source and sink included. */
export const tourCost = (view: TourView, order: ArrayLike<number>): number => {
  let at = view.source;
  let total = 0;
  for (let step = 0; step < order.length; step++) {
    total += view.cost[at * view.width + order[step]!]!;
    at = order[step]!;
  }
  return total + view.cost[at * view.width + view.sink]!;
};
