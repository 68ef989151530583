import type { SearchClock } from "../search-clock.ts";
import type { Neighbourhoods } from "./neighbourhoods.ts";
import type { PositionWindows } from "./position-windows.ts";
import type { TourView } from "./tour-view.ts";

/**
 * All undominated relaxed walks of one direction, filed by position, stop and pause state.
 *
 * Bucket `((position − 1) × size + stop) × states + state` holds labels from `first[bucket]` to
 * `first[bucket + 1]`, cheapest first: time, cost under the multipliers, remembered set.
 */
export interface RelaxedPass {
  readonly states: number;
  readonly first: Int32Array;
  readonly time: Float64Array;
  readonly cost: Float64Array;
  readonly set: Int32Array;
  /** Cheapest complete walk under the multipliers; Infinity when none stays under the ceiling. */
  readonly best: number;
  /** Stops of the cheapest walk, in order of this direction. Empty when there is none. */
  readonly walk: readonly number[];
}

export interface PassInput {
  readonly view: TourView;
  readonly memory: Neighbourhoods;
  readonly windows: PositionWindows;
  /** Multiplier of each stop; a visit to stop j costs `−multiplier[j]` more. */
  readonly multipliers: Float64Array;
  /** Walks that cost more than this (under the multipliers) are of no use. */
  readonly ceiling: number;
  /** A pass of the opposite direction with the same multipliers, to complete the walks. */
  readonly opposite?: RelaxedPass;
  /** Gives up (undefined) when more labels than this would be kept. */
  readonly mostLabels: number;
  readonly clock: SearchClock;
}

/**
 * Cheapest completion of a walk that starts work at `stop` (as visit number `position`) at `time`,
 * having seen `set`. The result does not count the multiplier of `stop` twice.
 */
export const completionCost = (
  opposite: RelaxedPass,
  view: TourView,
  position: number,
  stop: number,
  state: number,
  time: number,
  set: number,
  multiplier: number,
): number => {
  const { size } = view;
  const other = opposite.states === 2 ? 1 - state : 0;
  const bucket = ((size - position) * size + stop) * opposite.states + other;
  const end = opposite.first[bucket + 1]!;
  const latest = -time;
  for (let label = opposite.first[bucket]!; label < end; label++)
    if (opposite.time[label]! <= latest && (opposite.set[label]! & set & ~1) === 0)
      return opposite.cost[label]! + multiplier;
  return Infinity;
};

interface Pool {
  time: Float64Array;
  cost: Float64Array;
  set: Int32Array;
  parent: Int32Array;
  count: number;
}

const grow = (pool: Pool): void => {
  const length = pool.time.length * 2;
  const time = new Float64Array(length);
  time.set(pool.time);
  pool.time = time;
  const cost = new Float64Array(length);
  cost.set(pool.cost);
  pool.cost = cost;
  const set = new Int32Array(length);
  set.set(pool.set);
  pool.set = set;
  const parent = new Int32Array(length);
  parent.set(pool.parent);
  pool.parent = parent;
};

/** How an arc is driven: straight through, or with the pause at one of its ends. */
const PLAIN = 0;
const PAUSE_LEAVING = 1;
const PAUSE_ARRIVING = 2;

/**
 * One pass over the relaxed walks: every walk has exactly `size` stops and keeps all windows, but a
 * stop may come twice if it was forgotten in between. The cheapest walk is therefore a lower bound
 * on every real tour.
 *
 * Labels of one bucket arrive as runs already sorted by cost (one run per arc), so a heap merges
 * them and a label needs to be compared only with cheaper ones.
 */
export const relaxedPass = (input: PassInput): RelaxedPass | undefined => {
  const { view, memory, windows, multipliers, ceiling, opposite, mostLabels, clock } = input;
  const { size, width, source, sink, cost, time, open, close, pause, allowed } = view;
  const { bitOf } = memory;
  const states = pause === undefined ? 1 : 2;
  const buckets = size * size * states;
  const first = new Int32Array(buckets + 1);
  const pool: Pool = {
    time: new Float64Array(1024),
    cost: new Float64Array(1024),
    set: new Int32Array(1024),
    parent: new Int32Array(1024),
    count: 0,
  };
  const runAt: number[] = [];
  const runEnd: number[] = [];
  const runFrom: number[] = [];
  const runKind: number[] = [];
  const runAdd: number[] = [];
  const runKey: number[] = [];
  const heap: number[] = [];

  const siftDown = (start: number): void => {
    let hole = start;
    const run = heap[hole]!;
    const key = runKey[run]!;
    for (;;) {
      let child = 2 * hole + 1;
      if (child >= heap.length) break;
      if (child + 1 < heap.length && runKey[heap[child + 1]!]! < runKey[heap[child]!]!) child++;
      if (runKey[heap[child]!]! >= key) break;
      heap[hole] = heap[child]!;
      hole = child;
    }
    heap[hole] = run;
  };

  const reach = (label: number, kind: number, arc: number, opens: number): number => {
    const start = pool.time[label]!;
    if (kind === PLAIN) return Math.max(opens, start + time[arc]!);
    const offset = kind === PAUSE_LEAVING ? view.pauseAtLeaving[arc]! : view.pauseAtArriving[arc]!;
    const begins = Math.max(start + offset, pause!.from);
    if (begins > pause!.until) return Infinity;
    return Math.max(opens, begins + pause!.length + time[arc]! - offset);
  };

  const keep = (at: number, spent: number, set: number, parent: number): void => {
    if (pool.count === pool.time.length) grow(pool);
    pool.time[pool.count] = at;
    pool.cost[pool.count] = spent;
    pool.set[pool.count] = set;
    pool.parent[pool.count] = parent;
    pool.count++;
  };

  for (let position = 1; position <= size; position++) {
    if (clock.isOver() || pool.count > mostLabels) return undefined;
    for (let stop = 0; stop < size; stop++)
      for (let state = 0; state < states; state++) {
        const bucket = ((position - 1) * size + stop) * states + state;
        first[bucket] = pool.count;
        const opens = windows.open[(position - 1) * size + stop]!;
        const closes = windows.close[(position - 1) * size + stop]!;
        if (opens > closes) continue;
        const reward = multipliers[stop]!;
        const finish = (at: number, spent: number, set: number): boolean => {
          if (opposite === undefined) return true;
          const rest = completionCost(opposite, view, position, stop, state, at, set, reward);
          return spent + rest <= ceiling;
        };
        if (position === 1) {
          const arc = source * width + stop;
          if (allowed[arc] === 0) continue;
          let at = Infinity;
          if (state === 0) at = Math.max(opens, view.sourceTime + time[arc]!);
          else {
            at = Math.max(opens, view.sourcePausedTime + time[arc]!);
            for (const offset of [view.pauseAtLeaving[arc]!, view.pauseAtArriving[arc]!]) {
              const begins = Math.max(view.sourceTime + offset, pause!.from);
              if (begins <= pause!.until)
                at = Math.min(at, Math.max(opens, begins + pause!.length + time[arc]! - offset));
            }
          }
          if (at <= closes && finish(at, cost[arc]! - reward, 1))
            keep(at, cost[arc]! - reward, 1, -1);
          continue;
        }
        let runs = 0;
        heap.length = 0;
        for (let from = 0; from < size; from++) {
          const arc = from * width + stop;
          if (allowed[arc] === 0) continue;
          const behind = ((position - 2) * size + from) * states;
          for (let kind = PLAIN; kind <= (state === 1 ? PAUSE_ARRIVING : PLAIN); kind++) {
            const previous = behind + (kind === PLAIN ? state : 0);
            const begin = first[previous]!;
            if (begin === first[previous + 1]!) continue;
            runAt[runs] = begin;
            runEnd[runs] = first[previous + 1]!;
            runFrom[runs] = from;
            runKind[runs] = kind;
            runAdd[runs] = cost[arc]! - reward;
            runKey[runs] = pool.cost[begin]! + runAdd[runs]!;
            heap.push(runs++);
          }
        }
        for (let node = (heap.length >> 1) - 1; node >= 0; node--) siftDown(node);
        const start = pool.count;
        while (heap.length > 0) {
          const run = heap[0]!;
          const label = runAt[run]!;
          const spent = runKey[run]!;
          const from = runFrom[run]!;
          runAt[run] = label + 1;
          if (label + 1 < runEnd[run]!) {
            runKey[run] = pool.cost[label + 1]! + runAdd[run]!;
            siftDown(0);
          } else {
            const last = heap.pop()!;
            if (heap.length > 0) {
              heap[0] = last;
              siftDown(0);
            }
          }
          const held = pool.set[label]!;
          const bit = bitOf[from * size + stop]!;
          if (bit >= 0 && (held & (1 << bit)) !== 0) continue;
          const at = reach(label, runKind[run]!, from * width + stop, opens);
          if (at > closes) continue;
          const set = memory.carry(from, stop, held) | 1;
          let dominated = false;
          for (let other = start; other < pool.count; other++)
            if (pool.time[other]! <= at && (pool.set[other]! & ~set) === 0) {
              dominated = true;
              break;
            }
          if (dominated || !finish(at, spent, set)) continue;
          keep(at, spent, set, label);
        }
      }
    first[position * size * states] = pool.count;
  }
  first[buckets] = pool.count;

  let best = Infinity;
  let end = -1;
  let endStop = -1;
  for (let stop = 0; stop < size; stop++) {
    const arc = stop * width + sink;
    if (allowed[arc] === 0) continue;
    for (let state = 0; state < states; state++) {
      const bucket = ((size - 1) * size + stop) * states + state;
      for (let label = first[bucket]!; label < first[bucket + 1]!; label++) {
        const total = pool.cost[label]! + cost[arc]!;
        if (total >= best) break;
        let at = pool.time[label]! + time[arc]!;
        if (states === 2 && state === 0) {
          const rested = Math.min(
            reach(label, PAUSE_LEAVING, arc, open[sink]!),
            reach(label, PAUSE_ARRIVING, arc, open[sink]!),
          );
          if (at > view.sinkUnpausedUntil) at = rested;
        }
        if (at > close[sink]!) continue;
        best = total;
        end = label;
        endStop = stop;
        break;
      }
    }
  }
  const walk: number[] = [];
  const parents = pool.parent;
  let bucketEnd = buckets;
  if (end >= 0) {
    walk.push(endStop);
    for (let label = parents[end]!; label >= 0; label = parents[label]!) {
      while (first[bucketEnd]! > label) bucketEnd--;
      walk.push(Math.floor(bucketEnd / states) % size);
    }
  }
  return {
    states,
    first,
    time: pool.time,
    cost: pool.cost,
    set: pool.set,
    best: best <= ceiling ? best : Infinity,
    walk: walk.reverse(),
  };
};
