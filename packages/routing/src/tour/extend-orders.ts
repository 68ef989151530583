import type { SearchClock } from "../search-clock.ts";
import type { LeastRest } from "./least-rest.ts";
import type { PositionWindows } from "./position-windows.ts";
import type { TourView } from "./tour-view.ts";
import { groupSets, predecessorSets, wordsFor } from "./tour-walker.ts";

export interface ExtendInput {
  readonly view: TourView;
  readonly leastRest: LeastRest;
  readonly windows: PositionWindows;
  readonly multipliers: Float64Array;
  /** Only orders at or below this (under the multipliers) are of interest. */
  readonly ceiling: number;
  /** Most partial orders kept per length. */
  readonly breadth: number;
  /** Beyond the breadth keep the earliest instead of the cheapest (when any sound order will do). */
  readonly favourEarly?: boolean;
  /** Give up as soon as the breadth would cut something off. */
  readonly orNothing?: boolean;
  readonly clock: SearchClock;
}

export interface Extended {
  /** Best complete order found at or below the ceiling. */
  readonly order: Int32Array | undefined;
  readonly cost: number;
  /** Smallest possible cost of anything that was cut off for lack of breadth (Infinity: nothing). */
  readonly cutOff: number;
  /** False when the clock stopped the work before the end. */
  readonly finished: boolean;
}

interface Layer {
  time: Float64Array;
  cost: Float64Array;
  least: Float64Array;
  stop: Int32Array;
  state: Uint8Array;
  parent: Int32Array;
  sets: Int32Array;
  next: Int32Array;
  live: Uint8Array;
  count: number;
}

const emptyLayer = (capacity: number, words: number): Layer => ({
  time: new Float64Array(capacity),
  cost: new Float64Array(capacity),
  least: new Float64Array(capacity),
  stop: new Int32Array(capacity),
  state: new Uint8Array(capacity),
  parent: new Int32Array(capacity),
  sets: new Int32Array(capacity * words),
  next: new Int32Array(capacity),
  live: new Uint8Array(capacity),
  count: 0,
});

const enlarge = (layer: Layer, words: number): Layer => {
  const larger = emptyLayer(layer.time.length * 2, words);
  larger.time.set(layer.time);
  larger.cost.set(layer.cost);
  larger.least.set(layer.least);
  larger.stop.set(layer.stop);
  larger.state.set(layer.state);
  larger.parent.set(layer.parent);
  larger.sets.set(layer.sets);
  larger.next.set(layer.next);
  larger.live.set(layer.live);
  larger.count = layer.count;
  return larger;
};

/** The `wanted`-th smallest value. */
const thresholdOf = (values: Float64Array, wanted: number): number =>
  Float64Array.from(values).sort()[wanted - 1]!;

/**
 * Dynamic programming over (set visited, last stop, pause taken) with a Pareto front of time and
 * cost in each state. A partial order is dropped when another reaches the same state no later and no
 * dearer, or when its cost plus the cheapest relaxed completion passes the ceiling. Unless the
 * breadth cut something off, the result is exact.
 *
 * source: Dumas, Desrosiers, Gélinas & Solomon 1995 (forward dynamic programming with elimination);
 * bounding by a relaxed backward pass: Baldacci, Mingozzi & Roberti 2012.
 */
export const extendOrders = (input: ExtendInput): Extended => {
  const { view, leastRest, windows, multipliers, breadth, clock } = input;
  const { size, width, source, sink, time, open, close, pause, allowed, cost } = view;
  const words = wordsFor(size);
  const needed = predecessorSets(view);
  const together = groupSets(view);
  const hasGroups = view.group.some((group) => group >= 0);
  const states = pause === undefined ? 1 : 2;
  const trailStop: Int32Array[] = [];
  const trailParent: Int32Array[] = [];
  let cutOff = Infinity;
  let tableBits = 12;
  let table = new Int32Array(1 << tableBits).fill(-1);
  let here = emptyLayer(1024, words);
  const grown = new Int32Array(words);

  const hashOf = (stop: number, state: number): number => {
    let hash = Math.imul(stop * 2 + state + 1, 0x9e3779b1);
    for (let word = 0; word < words; word++) {
      hash = Math.imul(hash ^ grown[word]!, 0x85ebca6b);
      hash ^= hash >>> 15;
    }
    return hash & ((1 << tableBits) - 1);
  };

  const rehash = (layer: Layer): void => {
    tableBits++;
    table = new Int32Array(1 << tableBits).fill(-1);
    for (let label = 0; label < layer.count; label++) {
      for (let word = 0; word < words; word++) grown[word] = layer.sets[label * words + word]!;
      const slot = hashOf(layer.stop[label]!, layer.state[label]!);
      layer.next[label] = table[slot]!;
      table[slot] = label;
    }
  };

  /**
   * False when some remaining stop is out of reach, or when the remaining stops due by some time
   * cannot all be reached by then: each takes at least its cheapest arrival.
   */
  const canReachRest = (stop: number, at: number): boolean => {
    let filled = at;
    for (let rank = 0; rank < size; rank++) {
      const other = byClose[rank]!;
      if ((grown[other >> 5]! & (1 << (other & 31))) !== 0) continue;
      filled += leastArrival[other]!;
      const shut = close[other]!;
      if (filled > shut || at + reachTimes[stop * size + other]! > shut) return false;
    }
    return true;
  };
  const byClose = Int32Array.from({ length: size }, (_, stop) => stop).sort(
    (a, b) => close[a]! - close[b]! || a - b,
  );
  const leastArrival = Float64Array.from({ length: size }, (_, stop) => {
    let least = Infinity;
    for (let from = 0; from < size; from++)
      if (allowed[from * width + stop] === 1) least = Math.min(least, time[from * width + stop]!);
    return least;
  });
  const reachTimes = shortestBetween(view);

  const offer = (
    layer: Layer,
    position: number,
    stop: number,
    state: number,
    reached: number,
    spent: number,
    parent: number,
  ): Layer => {
    const at = Math.max(reached, windows.open[(position - 1) * size + stop]!);
    if (at > windows.close[(position - 1) * size + stop]!) return layer;
    let slot = hashOf(stop, state);
    for (let other = table[slot]!; other >= 0; other = layer.next[other]!) {
      if (layer.live[other] === 0 || layer.stop[other] !== stop || layer.state[other] !== state)
        continue;
      let same = true;
      for (let word = 0; word < words && same; word++)
        same = layer.sets[other * words + word] === grown[word];
      if (!same) continue;
      if (layer.time[other]! <= at && layer.cost[other]! <= spent) return layer;
      if (layer.time[other]! >= at && layer.cost[other]! >= spent) layer.live[other] = 0;
    }
    if (!canReachRest(stop, at)) return layer;
    const least = spent + leastRest(position, stop, state, at, grown);
    if (!(least <= input.ceiling)) return layer;
    let room = layer;
    if (room.count === room.time.length) room = enlarge(room, words);
    if (room.count > 1 << tableBits) {
      const kept = Int32Array.from(grown);
      rehash(room);
      grown.set(kept);
      slot = hashOf(stop, state);
    }
    const label = room.count++;
    room.time[label] = at;
    room.cost[label] = spent;
    room.least[label] = least;
    room.stop[label] = stop;
    room.state[label] = state;
    room.parent[label] = parent;
    room.sets.set(grown, label * words);
    room.live[label] = 1;
    room.next[label] = table[slot]!;
    table[slot] = label;
    return room;
  };

  const earliestPaused = (from: number, arc: number, to: number): number => {
    let best = Infinity;
    if (pause === undefined) return best;
    for (const offset of [view.pauseAtLeaving[arc]!, view.pauseAtArriving[arc]!]) {
      const begins = Math.max(from + offset, pause.from);
      if (begins <= pause.until)
        best = Math.min(best, Math.max(open[to]!, begins + pause.length + time[arc]! - offset));
    }
    return best;
  };

  /** Drops dominated labels and, beyond the breadth, the least promising ones. */
  const settle = (layer: Layer): Layer => {
    const alive: number[] = [];
    for (let label = 0; label < layer.count; label++)
      if (layer.live[label] === 1) alive.push(label);
    let kept = alive;
    if (alive.length > breadth) {
      if (input.orNothing === true) {
        cutOff = -Infinity;
        kept = [];
      }
    }
    if (kept.length > breadth) {
      const merit = input.favourEarly === true ? layer.time : layer.least;
      const edge = thresholdOf(
        Float64Array.from(alive, (label) => merit[label]!),
        breadth,
      );
      kept = [];
      let ties = breadth;
      for (const label of alive) if (merit[label]! < edge) ties--;
      for (const label of alive) {
        if (merit[label]! < edge || (merit[label] === edge && ties-- > 0)) kept.push(label);
        else cutOff = Math.min(cutOff, layer.least[label]!);
      }
    }
    const packed = emptyLayer(Math.max(1, kept.length), words);
    packed.count = kept.length;
    kept.forEach((label, index) => {
      packed.time[index] = layer.time[label]!;
      packed.cost[index] = layer.cost[label]!;
      packed.stop[index] = layer.stop[label]!;
      packed.state[index] = layer.state[label]!;
      packed.parent[index] = layer.parent[label]!;
      for (let word = 0; word < words; word++)
        packed.sets[index * words + word] = layer.sets[label * words + word]!;
    });
    trailStop.push(packed.stop);
    trailParent.push(packed.parent);
    return packed;
  };

  for (let stop = 0; stop < size; stop++) {
    const arc = source * width + stop;
    if (allowed[arc] === 0) continue;
    grown.fill(0);
    grown[stop >> 5]! |= 1 << (stop & 31);
    const spent = cost[arc]! - multipliers[stop]!;
    here = offer(here, 1, stop, 0, Math.max(open[stop]!, view.sourceTime + time[arc]!), spent, -1);
    if (states === 2)
      here = offer(here, 1, stop, 1, earliestPaused(view.sourceTime, arc, stop), spent, -1);
  }
  here = settle(here);

  for (let position = 2; position <= size; position++) {
    table = new Int32Array(1 << tableBits).fill(-1);
    let layer = emptyLayer(Math.max(1024, here.count), words);
    for (let label = 0; label < here.count; label++) {
      if ((label & 1023) === 0 && clock.isOver())
        return { order: undefined, cost: Infinity, cutOff, finished: false };
      const from = here.stop[label]!;
      const state = here.state[label]!;
      const base = label * words;
      let groupOpen = false;
      if (hasGroups)
        for (let word = 0; word < words; word++)
          groupOpen ||= (together[from * words + word]! & ~here.sets[base + word]!) !== 0;
      for (let stop = 0; stop < size; stop++) {
        const arc = from * width + stop;
        if (allowed[arc] === 0) continue;
        if ((here.sets[base + (stop >> 5)]! & (1 << (stop & 31))) !== 0) continue;
        if (groupOpen && view.group[from] !== view.group[stop]) continue;
        let ready = true;
        for (let word = 0; word < words && ready; word++)
          ready = (needed[stop * words + word]! & ~here.sets[base + word]!) === 0;
        if (!ready) continue;
        for (let word = 0; word < words; word++) grown[word] = here.sets[base + word]!;
        grown[stop >> 5]! |= 1 << (stop & 31);
        const spent = here.cost[label]! + cost[arc]! - multipliers[stop]!;
        const start = here.time[label]!;
        layer = offer(
          layer,
          position,
          stop,
          state,
          Math.max(open[stop]!, start + time[arc]!),
          spent,
          label,
        );
        if (states === 2 && state === 0)
          layer = offer(layer, position, stop, 1, earliestPaused(start, arc, stop), spent, label);
      }
    }
    here = settle(layer);
    if (here.count === 0) break;
  }

  let best = Infinity;
  let last = -1;
  for (let label = 0; label < here.count; label++) {
    const stop = here.stop[label]!;
    const arc = stop * width + sink;
    if (allowed[arc] === 0) continue;
    let at = here.time[label]! + time[arc]!;
    if (states === 2 && here.state[label] === 0 && at > view.sinkUnpausedUntil)
      at = earliestPaused(here.time[label]!, arc, sink);
    const total = here.cost[label]! + cost[arc]!;
    if (at <= close[sink]! && total < best) {
      best = total;
      last = label;
    }
  }
  if (last < 0) return { order: undefined, cost: Infinity, cutOff, finished: true };
  const order = new Int32Array(size);
  for (let position = size - 1, label = last; position >= 0; position--) {
    order[position] = trailStop[position]![label]!;
    label = trailParent[position]![label]!;
  }
  return { order, cost: best, cutOff, finished: true };
};

/** Shortest times between stops over allowed arcs, waiting left out. */
const shortestBetween = (view: TourView): Float64Array => {
  const { size, width, time } = view;
  const shortest = new Float64Array(size * size);
  for (let from = 0; from < size; from++)
    for (let to = 0; to < size; to++) shortest[from * size + to] = time[from * width + to]!;
  for (let via = 0; via < size; via++)
    for (let from = 0; from < size; from++) {
      const head = shortest[from * size + via]!;
      for (let to = 0; to < size; to++) {
        const through = head + shortest[via * size + to]!;
        if (through < shortest[from * size + to]!) shortest[from * size + to] = through;
      }
    }
  return shortest;
};
