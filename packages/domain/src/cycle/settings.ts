import type { Phase } from "../cases/index.ts";
import type { Setting, Source } from "../evidence/index.ts";

const CUSTOM: Source = {
  id: "interval-custom",
  citation:
    "Farriers keep laminitic horses on 4-5 weeks and sound ones on 5-6; common practice, no source",
  status: "common practice",
};

const HOUSE_CYCLE: Source = {
  id: "house-cycle-rules",
  citation: "Starting values for due windows and lateness, for the practice to confirm",
  status: "house rule",
};

/** The lowest and highest interval in days that needs no explanation. */
export interface IntervalRange {
  readonly leastDays: number;
  readonly mostDays: number;
}

/** What the interval of a horse is judged by. `sound reference` is the horse at risk without a bout. */
export type CyclePhase = Exclude<Phase, "closed"> | "sound reference";

const range = (
  key: string,
  leastDays: number,
  mostDays: number,
  source: Source,
): Setting<IntervalRange> => ({
  key: `cycle.${key}`,
  value: { leastDays, mostDays },
  unit: "days",
  source,
  since: "2026-01-01",
  change: "tighten",
});

const days = (
  key: string,
  value: number,
  source: Source = HOUSE_CYCLE,
  change: Setting<number>["change"] = "tighten",
): Setting<number> => ({
  key: `cycle.${key}`,
  value,
  unit: "days",
  source,
  since: "2026-01-01",
  change,
});

/** Reset intervals by phase. A vet may always go shorter; going longer needs a signed reason. */
export const INTERVAL_SETTINGS: Readonly<Record<CyclePhase, Setting<IntervalRange>>> = {
  acute: range("interval-acute", 7, 14, HOUSE_CYCLE),
  subacute: range("interval-subacute", 7, 28, HOUSE_CYCLE),
  "chronic active": range("interval-chronic-active", 28, 35, CUSTOM),
  maintenance: range("interval-maintenance", 28, 35, CUSTOM),
  "sound reference": range("interval-sound", 35, 42, CUSTOM),
};

/** The vet looks again within these days of the first visit in an acute case. */
export const ACUTE_REVIEW_SETTING = range("acute-review", 1, 3, HOUSE_CYCLE);

export const CYCLE_SETTINGS = {
  amberDaysLate: days("amber-days-late", 1),
  redDaysLate: days("red-days-late", 7),
  dueSoonDays: days("due-soon-days", 7, HOUSE_CYCLE, "free"),
  /** No signed reason carries a laminitic horse past this. Eight weeks is the longest in common use. */
  longestDays: days("longest-days", 56, CUSTOM),
  complianceGraceDays: days("compliance-grace", 3),
  /** In treatment a film older than this no longer shows the foot of today. */
  filmFreshDays: days("film-fresh-days", 14),
} as const;

export type CycleSettings = Readonly<Record<keyof typeof CYCLE_SETTINGS, Setting<number>>>;
