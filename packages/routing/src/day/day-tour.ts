import { prepareTour, type PreparedTour } from "../tour/prepare-tour.ts";
import type { DayRouteProblem, RouteStop } from "./day-route-types.ts";

/** Seconds from the start of the day. */
const secondsFrom = (startMs: number, atMs: number): number => (atMs - startMs) / 1000;

/** Row and column of each place in the drive matrix. @throws RangeError on an unknown place. */
export const placeIndex = (problem: DayRouteProblem): ((placeId: string) => number) => {
  const rows = new Map(problem.drive.placeIds.map((id, row) => [id, row]));
  return (placeId) => {
    const row = rows.get(placeId);
    if (row === undefined) throw new RangeError(`no drive times for place ${placeId}`);
    return row;
  };
};

const sameJob = (one: RouteStop, other: RouteStop): boolean =>
  one.placeId === other.placeId &&
  one.serviceMinutes === other.serviceMinutes &&
  one.window?.openMs === other.window?.openMs &&
  one.window?.closeMs === other.window?.closeMs &&
  one.finishByMs === other.finishByMs &&
  one.mustBeFirst === other.mustBeFirst;

/** Order rules between stops: given pairs, welfare first, and one fixed order of equal jobs. */
const orderRules = (problem: DayRouteProblem): (readonly [number, number])[] => {
  const { stops } = problem;
  const together = problem.keepYardTogether ?? true;
  const rows = new Map(stops.map((stop, row) => [stop.id, row]));
  const rules: [number, number][] = [];
  const inPair = new Set<number>();
  for (const [first, later] of problem.precedence ?? []) {
    const pair = [rows.get(first), rows.get(later)] as const;
    if (pair[0] === undefined || pair[1] === undefined) continue;
    rules.push([pair[0], pair[1]]);
    inPair.add(pair[0]).add(pair[1]);
  }
  const urgentPlaces = new Set(
    stops.filter((stop) => stop.mustBeFirst === true).map((stop) => stop.placeId),
  );
  stops.forEach((urgent, first) => {
    if (urgent.mustBeFirst !== true) return;
    stops.forEach((other, later) => {
      if (other.mustBeFirst === true) return;
      if (together && urgentPlaces.has(other.placeId) && other.placeId !== urgent.placeId) return;
      rules.push([first, later]);
    });
  });
  // Two equal jobs at one yard can be swapped in any plan, so fixing their order loses nothing.
  const lastLike = new Map<number, number>();
  stops.forEach((stop, row) => {
    if (inPair.has(row)) return;
    const twin = stops.findIndex(
      (other, index) => index <= row && !inPair.has(index) && sameJob(stop, other),
    );
    const last = lastLike.get(twin);
    if (last !== undefined) rules.push([last, row]);
    lastLike.set(twin, row);
  });
  return rules;
};

/** The day as a tour in seconds from its start. */
export const dayTour = (problem: DayRouteProblem): PreparedTour => {
  const { stops, drive, startMs, endMs, dayBreak } = problem;
  const size = stops.length;
  const width = size + 2;
  const rowOf = placeIndex(problem);
  const rows = [
    ...stops.map((stop) => rowOf(stop.placeId)),
    rowOf(problem.startPlaceId),
    rowOf(problem.endPlaceId),
  ];
  const travel = new Float64Array(width * width);
  rows.forEach((from, a) =>
    rows.forEach((to, b) => (travel[a * width + b] = drive.seconds[from]![to]!)),
  );
  const service = Float64Array.from([...stops.map((stop) => stop.serviceMinutes * 60), 0, 0]);
  const dayLength = secondsFrom(startMs, endMs);
  const open = new Float64Array(width);
  const close = new Float64Array(width).fill(dayLength);
  stops.forEach((stop, row) => {
    if (stop.window !== undefined) {
      open[row] = Math.max(0, secondsFrom(startMs, stop.window.openMs));
      close[row] = Math.min(dayLength, secondsFrom(startMs, stop.window.closeMs));
    }
    if (stop.finishByMs !== undefined)
      close[row] = Math.min(close[row]!, secondsFrom(startMs, stop.finishByMs) - service[row]!);
  });
  const yards = new Map<string, number>();
  const group = new Int32Array(size).fill(-1);
  if (problem.keepYardTogether ?? true)
    stops.forEach((stop, row) => {
      if (!yards.has(stop.placeId)) yards.set(stop.placeId, yards.size);
      group[row] = yards.get(stop.placeId)!;
    });
  const until = dayBreak === undefined ? 0 : secondsFrom(startMs, dayBreak.untilMs);
  return prepareTour({
    size,
    cost: travel,
    travel,
    service,
    open,
    close,
    // A day that only begins after the break would have to start owes none.
    pause:
      dayBreak === undefined || until < 0 || dayBreak.minutes <= 0
        ? undefined
        : {
            from: secondsFrom(startMs, dayBreak.fromMs),
            until,
            length: dayBreak.minutes * 60,
          },
    precedence: orderRules(problem),
    group,
  });
};
