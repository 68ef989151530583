/** Where a default comes from; same words as everywhere in this house. */
export interface RoutingSource {
  readonly id: string;
  readonly citation: string;
  readonly status:
    | "published"
    | "standard"
    | "derived"
    | "common practice"
    | "house rule"
    | "from memory";
}

/** A figure the practice may change. */
export interface RoutingSetting {
  readonly key: string;
  readonly value: number;
  readonly unit: string;
  readonly source: RoutingSource;
  /** Local date from which the value holds. */
  readonly since: string;
  readonly change: "free";
}

const houseRule = (id: string, citation: string): RoutingSource => ({
  id,
  citation,
  status: "house rule",
});

const setting = (
  key: string,
  value: number,
  unit: string,
  source: RoutingSource,
): RoutingSetting => ({ key, value, unit, source, since: "2026-01-01", change: "free" });

/** Road kilometres per straight kilometre. */
export const CIRCUITY: RoutingSetting = setting(
  "routing/circuity",
  1.35,
  "road km per straight km",
  houseRule(
    "circuity",
    "House rule for country roads until the practice's own trips say better. National means from 1.2 (USA) to 1.4 (England) are given by Ballou, Rahardja & Sakai 2002, Transportation Research Part A 36(9):843–848 (figures from memory)",
  ),
);

/** Mean speed door to door. */
export const SPEED_KMH: RoutingSetting = setting(
  "routing/speed",
  45,
  "km/h",
  houseRule("speed", "House rule for country roads until the practice's own trips say better"),
);

/** What one day's delay of a promised visit is worth in driving, when a plan is made again. */
export const MOVED_PROMISE_SECONDS: RoutingSetting = setting(
  "routing/moved-promise",
  7200,
  "driving seconds per moved promise",
  houseRule("moved-promise", "House rule: a promise is moved only to save two hours on the road"),
);

/** What going out on one more day is worth in driving. */
export const DAY_USED_SECONDS: RoutingSetting = setting(
  "routing/day-used",
  1800,
  "driving seconds per day used",
  houseRule("day-used", "House rule: half an hour of driving for loading and setting up"),
);

/** What visiting one day before the due day is worth in driving. */
export const EARLY_DAY_SECONDS: RoutingSetting = setting(
  "routing/early-day",
  120,
  "driving seconds per day early",
  houseRule(
    "early-day",
    "House rule: an early reset shortens the cycle and costs the owner, so only real savings justify it",
  ),
);

/** Lateness charged for a reset that found no place, in days after the last day of the plan. */
export const UNPLACED_DAYS: RoutingSetting = setting(
  "routing/unplaced-days",
  14,
  "days",
  houseRule("unplaced-days", "House rule: unplaced counts as two weeks after the end of the plan"),
);

export const ROUTING_SETTINGS: readonly RoutingSetting[] = [
  CIRCUITY,
  SPEED_KMH,
  MOVED_PROMISE_SECONDS,
  DAY_USED_SECONDS,
  EARLY_DAY_SECONDS,
  UNPLACED_DAYS,
];
