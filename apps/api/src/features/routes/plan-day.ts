import { weekdayOf } from "@heelward/domain/cycle";
import { atLocalTime } from "@heelward/domain/time";
import {
  solveDayRoute,
  type DriveMatrix,
  type Place,
  type RouteDay,
  type RouteStop,
} from "@heelward/routing";

/** All visits at one yard, made in one stop. */
export interface YardVisit {
  readonly yardId: string;
  readonly lat: number;
  readonly lon: number;
  readonly timeZone: string;
  readonly opening: readonly {
    readonly weekday: number;
    readonly opens: string;
    readonly closes: string;
  }[];
  /** Days on which nobody is let in. */
  readonly closedOn: readonly string[];
  readonly serviceMinutes: number;
  /** A horse is in trouble here: before all yards without one. */
  readonly isUrgent: boolean;
}

export interface DayFrame {
  readonly date: string;
  readonly startMs: number;
  readonly endMs: number;
  /** Drives between `start`, `end` and the yards. */
  readonly drive: DriveMatrix;
}

export interface PlannedDay {
  readonly route: RouteDay | null;
  readonly unplanned: readonly { readonly yardId: string; readonly reason: string }[];
}

/** Names of the places where the day begins and ends. */
const START = "start";
const END = "end";

type Hours = { readonly window: RouteStop["window"]; readonly finishByMs: number };

/** When work may start and must end at a yard on a day, or why it cannot be done. */
const hoursOf = (
  visit: YardVisit,
  date: string,
): { readonly closed: string } | Hours | "any time" => {
  if (visit.closedOn.includes(date)) return { closed: "the yard is closed on this day" };
  if (visit.opening.length === 0) return "any time";
  const today = visit.opening
    .filter((one) => one.weekday === weekdayOf(date))
    .map((one) => ({
      openMs: atLocalTime(date, one.opens, visit.timeZone),
      closeMs: atLocalTime(date, one.closes, visit.timeZone),
    }))
    // Of two openings the longer one is planned for: a stop has one window.
    .toSorted((a, b) => b.closeMs - b.openMs - (a.closeMs - a.openMs));
  const longest = today[0];
  if (longest === undefined) return { closed: "the yard does not open on this day of the week" };
  const lastStartMs = longest.closeMs - visit.serviceMinutes * 60_000;
  return lastStartMs < longest.openMs
    ? { closed: `the yard is open for less than the ${visit.serviceMinutes} minutes of work` }
    : {
        window: { openMs: longest.openMs, closeMs: lastStartMs },
        finishByMs: longest.closeMs,
      };
};

type Point = { readonly lat: number; readonly lon: number };

const placeAt = (id: string, { lat, lon }: Point): Place => ({
  id,
  at: { latDegrees: lat, lonDegrees: lon },
});

/** The places of a day; without a start the yards alone. */
export const dayPlaces = (
  visits: readonly YardVisit[],
  start: Point | null,
  end: Point | null,
): readonly Place[] => [
  ...(start === null || end === null ? [] : [placeAt(START, start), placeAt(END, end)]),
  ...visits.map((visit) => placeAt(visit.yardId, visit)),
];

/** Puts a start and an end beside a matrix of yards whose first and last drive count nothing. */
export const withoutStart = (between: DriveMatrix): DriveMatrix => {
  const nothing = between.placeIds.map(() => 0);
  const beside = (rows: readonly (readonly number[])[]) => [
    [0, 0, ...nothing],
    [0, 0, ...nothing],
    ...rows.map((row) => [0, 0, ...row]),
  ];
  return {
    placeIds: [START, END, ...between.placeIds],
    seconds: beside(between.seconds),
    metres: beside(between.metres),
  };
};

/**
 * Puts a day's yards in the order with the least driving that keeps opening hours, with yards where a
 * horse is in trouble first. What does not fit is left out, the least pressing of those in conflict
 * first, with the reason. Visits come with the most pressing first.
 */
export const planDay = (
  visits: readonly YardVisit[],
  frame: DayFrame,
  limits: { readonly nowMs: () => number; readonly timeLimitMs: number },
): PlannedDay => {
  const unplanned: { yardId: string; reason: string }[] = [];
  let stops: RouteStop[] = visits.flatMap((visit) => {
    const hours = hoursOf(visit, frame.date);
    if (hours !== "any time" && "closed" in hours) {
      unplanned.push({ yardId: visit.yardId, reason: hours.closed });
      return [];
    }
    return [
      {
        id: visit.yardId,
        placeId: visit.yardId,
        serviceMinutes: visit.serviceMinutes,
        mustBeFirst: visit.isUrgent,
        ...(hours === "any time" || hours.window === undefined
          ? {}
          : { window: hours.window, finishByMs: hours.finishByMs }),
      },
    ];
  });
  while (stops.length > 0) {
    const solved = solveDayRoute(
      {
        startPlaceId: START,
        endPlaceId: END,
        startMs: frame.startMs,
        endMs: frame.endMs,
        stops,
        drive: frame.drive,
      },
      limits,
    );
    if (solved.status === "solved") return { route: solved, unplanned };
    const conflict = solved.stopIds.length === 0 ? stops.map((stop) => stop.id) : solved.stopIds;
    const dropped = stops.findLast((stop) => conflict.includes(stop.id)) ?? stops.at(-1);
    if (dropped === undefined) break;
    unplanned.push({
      yardId: dropped.id,
      reason:
        solved.status === "unknown"
          ? "no order that keeps every opening time was found with it"
          : conflict.length === 1
            ? "it cannot be reached and finished within its opening time and the working day"
            : "it does not fit beside the more pressing visits within opening times and the working day",
    });
    stops = stops.filter((stop) => stop !== dropped);
  }
  return { route: null, unplanned };
};
