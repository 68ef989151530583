import { randomStream } from "../random.ts";
import type { SearchClock } from "../search-clock.ts";
import { extendOrders } from "./extend-orders.ts";
import { restByPass, restByTree } from "./least-rest.ts";
import { neighbourhoods } from "./neighbourhoods.ts";
import { forgetNoCycle, multiplierSum, raiseBound } from "./raise-bound.ts";
import {
  narrowPositionWindows,
  positionWindows,
  reversePositionWindows,
} from "./position-windows.ts";
import { relaxedPass } from "./relaxed-pass.ts";
import { searchTour } from "./search-tour.ts";
import { spanningMultipliers } from "./spanning-bound.ts";
import { reverseTour, type TourView } from "./tour-view.ts";
import { tourCost } from "./tour-walker.ts";

/** What the solver knows at the end. */
export interface SolvedTour {
  /** Best sound order; undefined when none was found. */
  readonly order: Int32Array | undefined;
  readonly cost: number;
  /** No sound order can cost less (Infinity: there is none). */
  readonly lowerBound: number;
  /** True when `cost` is proven least, or when it is proven that no sound order exists. */
  readonly proven: boolean;
  /** The order that breaks least, for explaining, when no sound one was found. */
  readonly nearest: Int32Array;
}

const SEARCH_ROUNDS = 60;
/** Up to this many stops a bounded attempt at plain dynamic programming comes first. */
const LONGEST_QUICK = 32;
const QUICK_BREADTH = 4_000;
const SPANNING_ROUNDS = 200;
const FIRST_ASCENT = 2;
const LONGEST_ASCENT = 60;
const FIRST_MEMORY = 3;
const FIRST_BREADTH = 2_000;
const WIDEST_BREADTH = 1_000_000;
const MOST_LABELS = 3_000_000;

/**
 * Smallest step between two possible costs: costs given in whole units, tenths … ten-thousandths
 * differ by at least that much, so a bound above `best − step` already proves `best`.
 */
const costStep = (cost: Float64Array): number => {
  for (let digits = 0; digits <= 4; digits++) {
    const factor = 10 ** digits;
    if (
      cost.every(
        (value) =>
          !Number.isFinite(value) ||
          Math.abs(value * factor - Math.round(value * factor)) <
            1e-7 * Math.max(1, value * factor),
      )
    )
      return 1 / factor;
  }
  return 0;
};

/**
 * Any sound order, or the proof that there is none: dynamic programming on time alone, first narrow,
 * then wide. With costs at zero one partial order per state is enough, the earliest.
 */
export const findSoundOrder = (
  view: TourView,
  clock: SearchClock,
): { readonly order: Int32Array | undefined; readonly proven: boolean } => {
  const free: TourView = { ...view, cost: new Float64Array(view.cost.length) };
  const windows = positionWindows(free);
  const multipliers = new Float64Array(view.size);
  for (const breadth of [FIRST_BREADTH, WIDEST_BREADTH]) {
    const extended = extendOrders({
      view: free,
      leastRest: () => 0,
      windows,
      multipliers,
      ceiling: 0,
      breadth,
      favourEarly: true,
      clock,
    });
    if (extended.order !== undefined) return { order: extended.order, proven: false };
    if (!extended.finished) return { order: undefined, proven: false };
    if (extended.cutOff === Infinity) return { order: undefined, proven: true };
  }
  return { order: undefined, proven: false };
};

/**
 * Least-cost order of the stops: a local search gives a good order, subgradient ascent over relaxed
 * walks gives a lower bound, and dynamic programming bounded by both closes the gap or says how wide
 * it stays. Runs until proven, or until the clock says stop.
 */
export const solveTour = (view: TourView, seed: number, clock: SearchClock): SolvedTour => {
  const { size } = view;
  if (size === 0) {
    const cost = tourCost(view, []);
    const order = new Int32Array(0);
    return { order, cost, lowerBound: cost, proven: true, nearest: order };
  }
  const random = randomStream(seed);
  let found = searchTour(view, random, SEARCH_ROUNDS, clock);
  const nearest = found.order;
  if (found.breach > 0) {
    const sound = findSoundOrder(view, clock);
    if (sound.order === undefined)
      return {
        order: undefined,
        cost: Infinity,
        lowerBound: sound.proven ? Infinity : -Infinity,
        proven: sound.proven,
        nearest,
      };
    found = searchTour(view, random, SEARCH_ROUNDS, clock, sound.order);
  }
  let { order, cost } = found;
  const step = costStep(view.cost);
  const slack = (): number => 1e-7 * (1 + Math.abs(cost));
  /** Costs above this are no improvement. */
  const target = (): number => (step > 0 ? cost - step + slack() : cost - slack());

  const backwardView = reverseTour(view);
  const memory = neighbourhoods(view, Math.min(size, FIRST_MEMORY));
  const spanning = spanningMultipliers(view, cost, SPANNING_ROUNDS);
  let multipliers = spanning.multipliers;
  let lowerBound = spanning.bound;
  let windows = positionWindows(view);
  const proven = (): SolvedTour => ({ order, cost, lowerBound: cost, proven: true, nearest });
  const open = (): SolvedTour => ({
    order,
    cost,
    lowerBound: Math.min(cost, lowerBound),
    proven: false,
    nearest,
  });

  if (lowerBound > target()) return proven();
  if (size <= LONGEST_QUICK) {
    // Days with few yards or tight windows are done at once, without any relaxed walks.
    const quick = extendOrders({
      view,
      leastRest: restByTree(view, multipliers),
      windows,
      multipliers,
      ceiling: target() - multiplierSum(multipliers),
      breadth: QUICK_BREADTH,
      orNothing: true,
      clock,
    });
    if (quick.order !== undefined) {
      order = quick.order;
      cost = tourCost(view, order);
    }
    if (!quick.finished) return open();
    if (quick.cutOff === Infinity) return proven();
  }
  const boundWith = (start: Float64Array): number =>
    (relaxedPass({
      view: backwardView,
      memory,
      windows: reversePositionWindows(windows, size),
      multipliers: start,
      ceiling: Infinity,
      mostLabels: MOST_LABELS,
      clock,
    })?.best ?? -Infinity) + multiplierSum(start);
  // The tree multipliers can be too strong for walks that may cycle: take the share that does best.
  let bestStart = -Infinity;
  for (const share of [1, 0.5, 0.25, 0]) {
    const start = spanning.multipliers.map((value) => value * share);
    const bound = boundWith(start);
    if (bound <= bestStart) continue;
    bestStart = bound;
    multipliers = start;
  }

  let breadth = FIRST_BREADTH;
  for (let rounds = FIRST_ASCENT; ; rounds = Math.min(LONGEST_ASCENT, rounds * 2)) {
    const raised = raiseBound(
      backwardView,
      memory,
      reversePositionWindows(windows, size),
      multipliers,
      cost,
      target(),
      rounds,
      MOST_LABELS,
      clock,
    );
    if (raised === undefined) return open();
    multipliers = raised.multipliers;
    lowerBound = Math.max(lowerBound, raised.bound);
    if (lowerBound > target()) return proven();

    const sum = multiplierSum(multipliers);
    const shared = { memory, multipliers, clock, mostLabels: MOST_LABELS };
    const ceiling = target() - sum;
    const forward = relaxedPass({
      ...shared,
      view,
      windows,
      ceiling,
      opposite: raised.pass,
    });
    if (forward === undefined) return open();
    if (forward.best === Infinity) return proven();
    const grown = forgetNoCycle(memory, raised.pass.walk);
    const backward = relaxedPass({
      ...shared,
      view: backwardView,
      windows: reversePositionWindows(windows, size),
      ceiling,
      opposite: forward,
    });
    if (backward === undefined) return open();
    if (backward.best === Infinity) return proven();
    lowerBound = Math.max(lowerBound, backward.best + sum);
    windows = narrowPositionWindows(windows, size, forward, backward);
    const extended = extendOrders({
      view,
      leastRest: restByPass(view, backward, memory, multipliers),
      windows,
      multipliers,
      ceiling,
      breadth,
      clock,
    });
    if (extended.order !== undefined) {
      order = extended.order;
      cost = tourCost(view, order);
    }
    if (!extended.finished) return open();
    if (extended.cutOff === Infinity) return proven();
    lowerBound = Math.max(lowerBound, Math.min(cost, extended.cutOff + sum));
    if (lowerBound > target()) return proven();
    if (clock.isOver() || (breadth >= WIDEST_BREADTH && grown === 0)) return open();
    if (extended.order !== undefined) {
      const polished = searchTour(view, random, 20, clock, order);
      if (polished.breach === 0 && polished.cost < cost) ({ order, cost } = polished);
    }
    breadth = Math.min(WIDEST_BREADTH, breadth * 4);
  }
};
