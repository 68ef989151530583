import type { DayBreak, RouteDay, StartWindow } from "../day/day-route-types.ts";
import type { DriveMatrix } from "../geo/drive-times.ts";
import type { SearchLimits } from "../search-clock.ts";

/**
 * Planning over weeks. Days are local dates (`YYYY-MM-DD`) named by the caller together with the
 * instants they mean at each yard, so clock changes and zones are settled before planning starts.
 */

export interface HorizonFarrier {
  readonly id: string;
  readonly skills: readonly string[];
}

/** One working day of one farrier; a day off is simply not listed. */
export interface FarrierDay {
  readonly farrierId: string;
  readonly on: string;
  readonly startMs: number;
  readonly endMs: number;
  readonly startPlaceId: string;
  readonly endPlaceId: string;
  readonly dayBreak?: DayBreak;
}

/** A yard is open on the days listed and closed on all others. Work must start and end inside. */
export interface YardOpening {
  readonly placeId: string;
  readonly on: string;
  readonly openMs: number;
  readonly closeMs: number;
  /** When somebody is there to hold horses; missing: nobody. */
  readonly helper?: StartWindow;
}

/** A vet is at a yard from `openMs` to `closeMs`; one farrier at a time can share the visit. */
export interface VetVisit {
  readonly id: string;
  readonly vetId: string;
  readonly placeId: string;
  readonly on: string;
  readonly openMs: number;
  readonly closeMs: number;
}

/** One reset that is due. */
export interface DueReset {
  readonly id: string;
  readonly placeId: string;
  readonly serviceMinutes: number;
  /** Not before this day. */
  readonly earliestOn: string;
  /** Every day after this one counts as late. */
  readonly dueOn: string;
  /**
   * Never after this day, unless the day is already past when the plan starts (then: as soon as
   * possible). What cannot be placed by then stays unplaced, for a vet to judge.
   */
  readonly ceilingOn?: string;
  /** Weight of one day's lateness, above 0. */
  readonly welfareWeight: number;
  readonly skills?: readonly string[];
  readonly helperNeeded?: boolean;
  readonly vetNeeded?: boolean;
  readonly onlyFarrierIds?: readonly string[];
  /** Agreed and not to be moved; left unplaced (and reported) only if it has become impossible. */
  readonly fixed?: {
    readonly farrierId: string;
    readonly on: string;
    readonly window?: StartWindow;
  };
  /** Told to the yard; moved only if much is won. */
  readonly promised?: { readonly farrierId: string; readonly on: string };
}

export interface HorizonProblem {
  readonly farriers: readonly HorizonFarrier[];
  readonly days: readonly FarrierDay[];
  readonly openings: readonly YardOpening[];
  readonly vetVisits?: readonly VetVisit[];
  readonly resets: readonly DueReset[];
  readonly drive: DriveMatrix;
}

/** What driving seconds are worth; see the settings of the same names. */
export interface HorizonWeights {
  readonly movedPromiseSeconds: number;
  readonly dayUsedSeconds: number;
  readonly earlyDaySeconds: number;
  readonly unplacedDays: number;
}

/** The figures of a plan, in order of importance. */
export interface HorizonScore {
  /** Sum of welfare weight × days late; unplaced resets count to the end of the plan and beyond. */
  readonly latePoints: number;
  readonly unplaced: number;
  readonly movedPromises: number;
  readonly driveSeconds: number;
  readonly daysUsed: number;
}

export interface HorizonProgress extends HorizonScore {
  readonly round: number;
  readonly share: number;
}

export interface HorizonOptions extends SearchLimits {
  readonly seed?: number;
  /** Rounds of improvement; default 4000. The time limit may end earlier. */
  readonly rounds?: number;
  readonly weights?: Partial<HorizonWeights>;
  /** Called now and then with the best so far. */
  readonly onProgress?: (progress: HorizonProgress) => void;
}

/** A placed reset and why it is there. */
export interface Assignment {
  readonly resetId: string;
  readonly farrierId: string;
  readonly on: string;
  readonly startMs: number;
  readonly lateDays: number;
  readonly movedPromise: boolean;
  readonly why: string;
  /** What would allow a better day; missing when the day is as good as can be. */
  readonly wouldImprove?: string;
}

export interface UnplacedReset {
  readonly resetId: string;
  readonly why: string;
  readonly wouldImprove: string;
}

export interface PlannedDay {
  readonly farrierId: string;
  readonly on: string;
  readonly route: RouteDay;
}

export interface HorizonPlan {
  readonly score: HorizonScore;
  /** No plan can have fewer late points. */
  readonly latePointsLowerBound: number;
  /** No plan that places the same resets can drive less. */
  readonly driveSecondsLowerBound: number;
  readonly days: readonly PlannedDay[];
  readonly assignments: readonly Assignment[];
  readonly unplaced: readonly UnplacedReset[];
  /** False when the search was stopped before its rounds were done. */
  readonly finished: boolean;
}
