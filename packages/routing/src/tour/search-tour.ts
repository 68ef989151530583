import type { RandomStream } from "../random.ts";
import type { SearchClock } from "../search-clock.ts";
import type { TourView } from "./tour-view.ts";
import { tourCost, tourWalker, type TourWalker } from "./tour-walker.ts";

/** An order with its cost; `breach` is 0 when every rule is kept. */
export interface FoundTour {
  readonly order: Int32Array;
  readonly cost: number;
  readonly breach: number;
}

const LONGEST_MOVED_RUN = 3;

interface Draft {
  order: Int32Array;
  cost: number;
  breach: number;
}

/** Copies `from` to `to` with the run [start, start+length) put back after `at` other stops. */
const moveRun = (
  from: Int32Array,
  to: Int32Array,
  start: number,
  length: number,
  at: number,
  turned: boolean,
): void => {
  let write = 0;
  let passed = 0;
  const place = (): void => {
    for (let step = 0; step < length; step++)
      to[write++] = from[start + (turned ? length - 1 - step : step)]!;
  };
  for (let read = 0; read < from.length; read++) {
    if (read >= start && read < start + length) continue;
    if (passed === at) place();
    to[write++] = from[read]!;
    passed++;
  }
  if (passed === at) place();
};

const reverseRun = (from: Int32Array, to: Int32Array, first: number, last: number): void => {
  to.set(from);
  for (let step = first; step <= last; step++) to[step] = from[last - (step - first)]!;
};

/**
 * First-improvement descent over moved runs (or-opt) and turned runs (2-opt), comparing breach first
 * and cost second. Cost changes are known before the order is walked, so a sound order only walks
 * candidates that are cheaper.
 */
const descend = (view: TourView, walker: TourWalker, draft: Draft, clock: SearchClock): void => {
  const { size, width, source, sink, cost } = view;
  const trial = new Int32Array(size);
  const at = (position: number): number =>
    position < 0 ? source : position >= size ? sink : draft.order[position]!;
  const arc = (from: number, to: number): number => cost[from * width + to]!;
  const epsilon = 1e-9 * (1 + Math.abs(draft.cost));

  const accept = (change: number): boolean => {
    if (draft.breach === 0 && change >= -epsilon) return false;
    const breach = walker.breach(trial, draft.breach);
    if (breach > draft.breach || (breach === draft.breach && change >= -epsilon)) return false;
    const kept = draft.order;
    draft.order = Int32Array.from(trial);
    kept.set(trial);
    draft.breach = breach;
    draft.cost = tourCost(view, draft.order);
    return true;
  };

  const tryMoves = (): boolean => {
    let improved = false;
    for (let length = 1; length <= LONGEST_MOVED_RUN && length < size; length++)
      for (let start = 0; start + length <= size; start++) {
        const first = at(start);
        const last = at(start + length - 1);
        const opened =
          arc(at(start - 1), at(start + length)) -
          arc(at(start - 1), first) -
          arc(last, at(start + length));
        for (let position = 0; position <= size - length; position++) {
          if (position === start) continue;
          const left = position <= start ? at(position - 1) : at(position + length - 1);
          const right = position < start ? at(position) : at(position + length);
          const gap = arc(left, right);
          if (draft.breach > 0 || opened + arc(left, first) + arc(last, right) - gap < -epsilon) {
            moveRun(draft.order, trial, start, length, position, false);
            if (accept(opened + arc(left, first) + arc(last, right) - gap)) {
              improved = true;
              break;
            }
          }
          if (length > 1 && draft.breach === 0) {
            let inside = 0;
            for (let step = start; step < start + length - 1; step++)
              inside += arc(at(step + 1), at(step)) - arc(at(step), at(step + 1));
            const change = opened + inside + arc(left, last) + arc(first, right) - gap;
            if (change < -epsilon) {
              moveRun(draft.order, trial, start, length, position, true);
              if (accept(change)) {
                improved = true;
                break;
              }
            }
          }
        }
      }
    return improved;
  };

  const tryTurns = (): boolean => {
    let improved = false;
    for (let first = 0; first < size - 1; first++) {
      let inside = 0;
      for (let last = first + 1; last < size; last++) {
        inside += arc(at(last), at(last - 1)) - arc(at(last - 1), at(last));
        const change =
          inside +
          arc(at(first - 1), at(last)) +
          arc(at(first), at(last + 1)) -
          arc(at(first - 1), at(first)) -
          arc(at(last), at(last + 1));
        if (draft.breach === 0 && change >= -epsilon) continue;
        reverseRun(draft.order, trial, first, last);
        if (accept(change)) {
          improved = true;
          break;
        }
      }
    }
    return improved;
  };

  for (let improved = true; improved && !clock.isOver();) {
    improved = tryMoves();
    improved = tryTurns() || improved;
  }
};

const isBetter = (one: Draft, other: Draft): boolean =>
  one.breach < other.breach ||
  (one.breach === other.breach && one.cost < other.cost - 1e-9 * (1 + Math.abs(other.cost)));

/**
 * Iterated local search for a good sound order: descend, shake by a few random moves, descend again,
 * keep what is not worse.
 *
 * source: the two-step scheme (repair, then improve) of da Silva & Urrutia 2010, Discrete
 * Optimization 7(4):203–211.
 */
export const searchTour = (
  view: TourView,
  random: RandomStream,
  rounds: number,
  clock: SearchClock,
  start?: Int32Array,
): FoundTour => {
  const { size, open, close } = view;
  const walker = tourWalker(view);
  const byMiddle = Int32Array.from({ length: size }, (_, stop) => stop).sort(
    (a, b) => open[a]! + close[a]! - open[b]! - close[b]! || a - b,
  );
  const draftOf = (order: Int32Array): Draft => ({
    order,
    cost: tourCost(view, order),
    breach: walker.breach(order, Infinity),
  });
  let best = draftOf(Int32Array.from(start ?? byMiddle));
  descend(view, walker, best, clock);
  let here: Draft = { ...best, order: Int32Array.from(best.order) };
  const scratch = new Int32Array(size);
  for (let round = 0; round < rounds && size > 2 && !clock.isOver(); round++) {
    const order = Int32Array.from(here.order);
    const shakes = 1 + random.below(Math.min(6, size));
    for (let shake = 0; shake < shakes; shake++) {
      const length = 1 + random.below(Math.min(LONGEST_MOVED_RUN, size - 1));
      const from = random.below(size - length + 1);
      const to = random.below(size - length + 1);
      moveRun(order, scratch, from, length, to, false);
      order.set(scratch);
    }
    const next = draftOf(order);
    descend(view, walker, next, clock);
    if (!isBetter(here, next)) here = next;
    if (isBetter(here, best)) best = { ...here, order: Int32Array.from(here.order) };
  }
  return best;
};
