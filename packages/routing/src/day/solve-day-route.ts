import { startClock } from "../search-clock.ts";
import { solveTour } from "../tour/solve-tour.ts";
import { tourWalker } from "../tour/tour-walker.ts";
import type { TourView } from "../tour/tour-view.ts";
import type {
  DayRouteOptions,
  DayRouteProblem,
  DayRouteResult,
  PlannedBreak,
  PlannedStop,
} from "./day-route-types.ts";
import { timelineOf } from "./day-timeline.ts";
import { dayTour, placeIndex } from "./day-tour.ts";
import { explainNoRoute } from "./explain-no-route.ts";

/** Turns an order into a day with clock times. */
const planDay = (
  problem: DayRouteProblem,
  view: TourView,
  order: Int32Array,
  proof: "optimal" | "bound",
  lowerBound: number,
): DayRouteResult => {
  const timeline = timelineOf(view, order);
  if (timeline === undefined) throw new Error("a solved order must keep its windows");
  const { startMs, drive } = problem;
  const rowOf = placeIndex(problem);
  const ms = (seconds: number): number => startMs + Math.round(seconds * 1000);
  const stops: PlannedStop[] = [];
  let dayBreak: PlannedBreak | undefined;
  let placeId = problem.startPlaceId;
  let leaves = 0;
  let metres = 0;
  let seconds = 0;
  for (let step = 0; step <= order.length; step++) {
    const stop = step < order.length ? problem.stops[order[step]!]! : undefined;
    const nextPlace = stop?.placeId ?? problem.endPlaceId;
    const driveSeconds = drive.seconds[rowOf(placeId)]![rowOf(nextPlace)]!;
    const driveMetres = drive.metres[rowOf(placeId)]![rowOf(nextPlace)]!;
    const paused = timeline.pause?.arc === step ? timeline.pause : undefined;
    const length = view.pause?.length ?? 0;
    let arrives = leaves + driveSeconds;
    if (paused !== undefined) {
      if (!paused.arriving) arrives = paused.begins + length + driveSeconds;
      dayBreak = {
        startMs: ms(paused.begins),
        endMs: ms(paused.begins + length),
        placeId: paused.arriving ? nextPlace : placeId,
      };
    }
    metres += driveMetres;
    seconds += driveSeconds;
    if (stop !== undefined) {
      const start = timeline.start[step]!;
      // Nobody leaves home only to wait at the first gate.
      if (step === 0 && paused === undefined) arrives = start;
      leaves = start + stop.serviceMinutes * 60;
      stops.push({
        stopId: stop.id,
        placeId: stop.placeId,
        driveSeconds,
        driveMetres,
        arriveMs: ms(arrives),
        startMs: ms(start),
        leaveMs: ms(leaves),
        slackMs: Math.max(0, Math.round((timeline.latest[step]! - start) * 1000)),
      });
      placeId = stop.placeId;
      continue;
    }
    const departMs =
      stops[0] === undefined || timeline.pause?.arc === 0
        ? startMs
        : stops[0].arriveMs - Math.round(stops[0].driveSeconds * 1000);
    return {
      status: "solved",
      proof,
      totalTravelSeconds: seconds,
      totalTravelMetres: metres,
      lowerBoundSeconds: proof === "optimal" ? seconds : Math.max(0, lowerBound),
      startPlaceId: problem.startPlaceId,
      endPlaceId: problem.endPlaceId,
      departMs,
      returnMs: ms(timeline.end),
      stops,
      lastDriveSeconds: driveSeconds,
      lastDriveMetres: driveMetres,
      ...(dayBreak === undefined ? {} : { dayBreak }),
    };
  }
  throw new Error("unreachable");
};

/**
 * Puts one day's stops in the order with the least driving that keeps every window, the order rules,
 * the break and the working hours. Waiting costs nothing.
 *
 * Up to about 20 stops the answer comes with proof; beyond, or when stopped early, with a lower
 * bound. The order is a proposal: the person who drives decides, and a horse in trouble comes first
 * whatever the plan says.
 *
 * @throws RangeError when a place has no row in the drive matrix.
 */
export const solveDayRoute = (
  problem: DayRouteProblem,
  options: DayRouteOptions = {},
): DayRouteResult => {
  const clock = startClock(options);
  const prepared = dayTour(problem);
  if (!prepared.ok) return explainNoRoute(problem, undefined, clock);
  const { view } = prepared;
  const solved = solveTour(view, options.seed ?? 1, clock);
  if (solved.order !== undefined)
    return planDay(
      problem,
      view,
      solved.order,
      solved.proven ? "optimal" : "bound",
      solved.lowerBound,
    );
  if (solved.proven) return explainNoRoute(problem, solved.nearest, clock);
  return {
    status: "unknown",
    reason: "no order that keeps every window was found before the search was stopped",
    stopIds: problem.stops.map((stop) => stop.id),
    lateSeconds: tourWalker(view).breach(solved.nearest, Infinity),
  };
};
