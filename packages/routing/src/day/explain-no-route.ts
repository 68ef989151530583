import type { SearchClock } from "../search-clock.ts";
import { findSoundOrder } from "../tour/solve-tour.ts";
import { tourWalker } from "../tour/tour-walker.ts";
import type { DayRouteProblem, NoRouteDay, RouteStop } from "./day-route-types.ts";
import { dayTour } from "./day-tour.ts";

const hasRoute = (problem: DayRouteProblem, clock: SearchClock): boolean | undefined => {
  const prepared = dayTour(problem);
  if (!prepared.ok) return false;
  if (prepared.view.size === 0) return true;
  const sound = findSoundOrder(prepared.view, clock);
  return sound.order !== undefined ? true : sound.proven ? false : undefined;
};

/** Checks of the clock one attempt may use; a count, so that the answer does not depend on speed. */
const ATTEMPT_CHECKS = 100;

const brieflyOn = (clock: SearchClock): SearchClock => {
  let checks = 0;
  return { share: clock.share, isOver: () => ++checks > ATTEMPT_CHECKS || clock.isOver() };
};

const describe = (
  problem: DayRouteProblem,
  stops: readonly RouteStop[],
  smallest: boolean,
): string => {
  if (stops.length === 0) {
    return problem.stops.length === 0
      ? "the way from start to finish alone is longer than the day"
      : "the day cannot hold these stops";
  }
  const names = stops.map((stop) => stop.id).join(", ");
  if (stops.length === 1)
    return `stop ${names} cannot be reached within its window and still be finished within the day, even alone`;
  return `stops ${names} cannot all be served within their windows and the working day${smallest ? "; any one fewer would fit" : ""}`;
};

/**
 * Why no order works: takes stops out one by one as long as the rest still has no route. What remains
 * is a smallest conflict: without any one of its stops there is a route (unless an attempt had to be
 * cut short; then the sentence does not claim it).
 * source: deletion filter, Chinneck & Dravnieks 1991, ORSA Journal on Computing 3(2):157–168.
 */
export const explainNoRoute = (
  problem: DayRouteProblem,
  nearest: Int32Array | undefined,
  clock: SearchClock,
): NoRouteDay => {
  let kept = problem.stops;
  let smallest = true;
  for (const stop of problem.stops) {
    const fewer = kept.filter((other) => other !== stop);
    const fits = hasRoute({ ...problem, stops: fewer }, brieflyOn(clock));
    if (fits === false) kept = fewer;
    smallest &&= fits !== undefined;
  }
  const prepared = dayTour(problem);
  const late =
    nearest !== undefined && prepared.ok
      ? tourWalker(prepared.view).breach(nearest, Infinity)
      : undefined;
  return {
    status: "infeasible",
    reason: describe(problem, kept, smallest),
    stopIds: kept.map((stop) => stop.id),
    ...(late === undefined ? {} : { lateSeconds: late }),
  };
};
