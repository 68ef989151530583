import type { DriveMatrix } from "../geo/drive-times.ts";
import type { SearchLimits } from "../search-clock.ts";

/** When work may start, epoch ms, both ends included. */
export interface StartWindow {
  readonly openMs: number;
  readonly closeMs: number;
}

/** One visit to one horse (or one job) at a yard. */
export interface RouteStop {
  readonly id: string;
  readonly placeId: string;
  readonly serviceMinutes: number;
  /** Work must start within the window; without one, any time of the day will do. */
  readonly window?: StartWindow;
  /** Work must also be finished by then, such as when the yard shuts. */
  readonly finishByMs?: number;
  /** Welfare comes first: this stop's yard is visited before yards without such a stop. */
  readonly mustBeFirst?: boolean;
}

/** A lunch break: it must start within the window, at a place, not on the road. */
export interface DayBreak {
  readonly fromMs: number;
  readonly untilMs: number;
  readonly minutes: number;
}

/** One farrier's (or vet's) day to be put in order. */
export interface DayRouteProblem {
  readonly startPlaceId: string;
  readonly endPlaceId: string;
  /** Earliest departure and latest return. */
  readonly startMs: number;
  readonly endMs: number;
  readonly stops: readonly RouteStop[];
  readonly drive: DriveMatrix;
  readonly dayBreak?: DayBreak;
  /** Pairs `[first, later]` of stop ids. */
  readonly precedence?: readonly (readonly [string, string])[];
  /** Finish all horses of a yard in one visit. Default true. */
  readonly keepYardTogether?: boolean;
}

export interface DayRouteOptions extends SearchLimits {
  /** Same seed, same problem, same answer (as long as no time limit cuts in). Default 1. */
  readonly seed?: number;
}

/** A stop with its times. */
export interface PlannedStop {
  readonly stopId: string;
  readonly placeId: string;
  readonly driveSeconds: number;
  readonly driveMetres: number;
  readonly arriveMs: number;
  readonly startMs: number;
  readonly leaveMs: number;
  /** How much later work could start without breaking this or any later window. */
  readonly slackMs: number;
}

export interface PlannedBreak {
  readonly startMs: number;
  readonly endMs: number;
  readonly placeId: string;
}

/** A day in order. */
export interface RouteDay {
  readonly status: "solved";
  /** `optimal`: no order drives less. `bound`: none drives less than `lowerBoundSeconds`. */
  readonly proof: "optimal" | "bound";
  readonly totalTravelSeconds: number;
  readonly totalTravelMetres: number;
  readonly lowerBoundSeconds: number;
  readonly startPlaceId: string;
  readonly endPlaceId: string;
  readonly departMs: number;
  readonly returnMs: number;
  readonly stops: readonly PlannedStop[];
  readonly lastDriveSeconds: number;
  readonly lastDriveMetres: number;
  /** Missing when there is none, or when the day ends early enough to take it at the end. */
  readonly dayBreak?: PlannedBreak;
}

/** No order keeps all rules (`proven`), or none was found before the search was stopped. */
export interface NoRouteDay {
  readonly status: "infeasible" | "unknown";
  /** One plain sentence. */
  readonly reason: string;
  /** Stops that cannot be served together; taking any one of them out helps (when proven). */
  readonly stopIds: readonly string[];
  /** By how much the nearest order found runs late in all, when that is known. */
  readonly lateSeconds?: number;
}

export type DayRouteResult = RouteDay | NoRouteDay;
