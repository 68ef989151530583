import type { RouteDay, RouteStop } from "../day/day-route-types.ts";
import { solveDayRoute } from "../day/solve-day-route.ts";
import { startClock } from "../search-clock.ts";
import { explainPlaced, explainUnplaced } from "./explain-assignment.ts";
import type { HorizonDraft } from "./horizon-draft.ts";
import { horizonModel, type HorizonModel } from "./horizon-model.ts";
import type {
  Assignment,
  HorizonOptions,
  HorizonPlan,
  HorizonProblem,
  HorizonScore,
  PlannedDay,
  UnplacedReset,
} from "./horizon-types.ts";
import { greedyHorizon, improveHorizon } from "./improve-horizon.ts";
import { driveBound, latenessBound } from "./lateness-bound.ts";

const DEFAULT_ROUNDS = 4000;
/** Stops of one day at which the exact router is worth asking; rows are never longer in practice. */
const LONGEST_EXACT_DAY = 20;

const isMoved = (model: HorizonModel, reset: number, day: number): boolean => {
  const promised = model.problem.resets[reset]!.promised;
  if (promised === undefined) return false;
  if (day < 0) return true;
  const { farrierId, on } = model.problem.days[day]!;
  return promised.farrierId !== farrierId || promised.on !== on;
};

const scoreOf = (model: HorizonModel, draft: HorizonDraft): HorizonScore => {
  const { resets, days } = model.problem;
  let latePoints = 0;
  let unplaced = 0;
  let movedPromises = 0;
  resets.forEach((reset, r) => {
    const day = draft.dayOf[r]!;
    const late = day < 0 ? model.unplacedDays[r]! : model.lateDays[r * days.length + day]!;
    latePoints += late * reset.welfareWeight;
    if (day < 0) unplaced++;
    if (isMoved(model, r, day)) movedPromises++;
  });
  return {
    latePoints,
    unplaced,
    movedPromises,
    driveSeconds: draft.drive.reduce((sum, seconds) => sum + seconds, 0),
    daysUsed: draft.rows.filter((row) => row.length > 0).length,
  };
};

/** The day of one farrier as a route with times; yards are kept together where that costs nothing. */
const routeOf = (
  model: HorizonModel,
  draft: HorizonDraft,
  day: number,
  options: HorizonOptions,
): RouteDay => {
  const { days, resets, drive } = model.problem;
  const farrierDay = days[day]!;
  const row = draft.rows[day]!;
  const stops: RouteStop[] = row.map((reset) => {
    const slot = model.slots[reset * days.length + day]!;
    if (typeof slot === "string") throw new Error(`reset on an impossible day: ${slot}`);
    return {
      id: resets[reset]!.id,
      placeId: resets[reset]!.placeId,
      serviceMinutes: resets[reset]!.serviceMinutes,
      window: { openMs: slot.openMs, closeMs: slot.closeMs },
    };
  });
  const problem = {
    startPlaceId: farrierDay.startPlaceId,
    endPlaceId: farrierDay.endPlaceId,
    startMs: farrierDay.startMs,
    endMs: farrierDay.endMs,
    drive,
    stops,
    ...(farrierDay.dayBreak === undefined ? {} : { dayBreak: farrierDay.dayBreak }),
  };
  const seed = options.seed ?? 1;
  if (row.length <= LONGEST_EXACT_DAY) {
    const together = solveDayRoute(problem, { seed });
    if (together.status === "solved" && together.totalTravelSeconds <= draft.drive[day]! + 1e-6)
      return together;
    const free = solveDayRoute({ ...problem, keepYardTogether: false }, { seed });
    if (free.status === "solved") return free;
  }
  const asPlanned = solveDayRoute(
    {
      ...problem,
      keepYardTogether: false,
      precedence: stops.slice(1).map((stop, index) => [stops[index]!.id, stop.id] as const),
    },
    { seed },
  );
  if (asPlanned.status !== "solved") throw new Error("a planned row must have a route");
  return asPlanned;
};

/**
 * Spreads due resets over the farriers' days: least welfare-weighted lateness first, then kept
 * promises, driving and days used. Never breaks a window, a ceiling, working hours or a fixed visit,
 * and never books a farrier twice; what cannot be placed is reported with its reason.
 *
 * The weights say which horse waits; they are the practice's to set and a vet's to overrule.
 *
 * @throws RangeError on unknown places or farriers, bad dates, or weights that are not above 0.
 */
export const planHorizon = (problem: HorizonProblem, options: HorizonOptions = {}): HorizonPlan => {
  const clock = startClock(options);
  const model = horizonModel(problem, options.weights);
  const { resets, days } = problem;
  const { best, finished } = improveHorizon(
    model,
    greedyHorizon(model),
    options.seed ?? 1,
    options.rounds ?? DEFAULT_ROUNDS,
    clock,
    (round, draft, share) => options.onProgress?.({ ...scoreOf(model, draft), round, share }),
  );
  const planned: PlannedDay[] = [];
  const starts = new Map<string, number>();
  let driveSeconds = 0;
  days.forEach((farrierDay, day) => {
    if (best.rows[day]!.length === 0) return;
    const route = routeOf(model, best, day, options);
    driveSeconds += route.totalTravelSeconds;
    planned.push({ farrierId: farrierDay.farrierId, on: farrierDay.on, route });
    for (const stop of route.stops) starts.set(stop.stopId, stop.startMs);
  });
  const assignments: Assignment[] = [];
  const unplaced: UnplacedReset[] = [];
  const placed: number[] = [];
  resets.forEach((reset, r) => {
    const day = best.dayOf[r]!;
    if (day < 0) {
      unplaced.push({ resetId: reset.id, ...explainUnplaced(model, best, r) });
      return;
    }
    placed.push(r);
    assignments.push({
      resetId: reset.id,
      farrierId: days[day]!.farrierId,
      on: days[day]!.on,
      startMs: starts.get(reset.id)!,
      lateDays: model.lateDays[r * days.length + day]!,
      movedPromise: isMoved(model, r, day),
      ...explainPlaced(model, best, r),
    });
  });
  const score = { ...scoreOf(model, best), driveSeconds };
  return {
    score,
    latePointsLowerBound: Math.min(score.latePoints, latenessBound(model)),
    driveSecondsLowerBound: driveBound(model, placed),
    days: planned,
    assignments,
    unplaced,
    finished,
  };
};
