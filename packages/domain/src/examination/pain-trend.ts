import type { Finding, Setting } from "../evidence/index.ts";
import { MS_PER_DAY, MS_PER_HOUR, type InstantMs } from "../time/index.ts";
import { RED_FLAG_LIST, SLOW_HEALERS } from "./sources.ts";

/** One five-sign total and when the horse was scored (not when it was typed in). */
export interface TimedScore {
  readonly total: number;
  readonly atMs: InstantMs;
}

export const PAIN_TREND_SETTINGS = {
  /** A rise of this many points inside the window is a red flag. */
  alertRise: {
    key: "examination.pain-alert-rise",
    value: 2,
    unit: "points of 12",
    source: RED_FLAG_LIST,
    since: "2026-01-01",
    change: "tighten",
  },
  alertWindowHours: {
    key: "examination.pain-alert-window",
    value: 24,
    unit: "h",
    source: RED_FLAG_LIST,
    since: "2026-01-01",
    change: "fixed",
  },
  /** The same rise spread over this many days still needs a call the same day. */
  creepWindowDays: {
    key: "examination.pain-creep-window",
    value: 7,
    unit: "days",
    source: RED_FLAG_LIST,
    since: "2026-01-01",
    change: "free",
  },
  slowFromDay: {
    key: "examination.slow-from-day",
    value: 14,
    unit: "days",
    source: SLOW_HEALERS,
    since: "2026-01-01",
    change: "free",
  },
  /** The quick healers' quartiles end at 2 by day 14. */
  slowAbove: {
    key: "examination.slow-above",
    value: 2,
    unit: "points of 12",
    source: SLOW_HEALERS,
    since: "2026-01-01",
    change: "tighten",
  },
} as const satisfies Record<string, Setting<number>>;

export type PainTrendSettings = Readonly<Record<keyof typeof PAIN_TREND_SETTINGS, Setting<number>>>;

export interface PainTrend {
  readonly latest?: TimedScore;
  /** Largest rise to the latest score from any score inside the 24 h window. */
  readonly riseInAlertWindow: number;
  readonly riseInCreepWindow: number;
  /** `alert`: red flag. `creeping`: the same rise over days, call today. */
  readonly state: "no scores" | "steady or falling" | "rising" | "creeping" | "alert";
  readonly findings: readonly Finding[];
}

const lowestSince = (scores: readonly TimedScore[], fromMs: InstantMs): number =>
  scores.reduce(
    (least, score) => (score.atMs >= fromMs ? Math.min(least, score.total) : least),
    Number.POSITIVE_INFINITY,
  );

/**
 * Whether pain goes up: a rise of 2 or more in 24 h is a red flag, the same rise spread over a week
 * asks for a call today. Both windows count real hours and include their first instant. Scores after
 * `atMs` are left out.
 */
export const painTrend = (
  scores: readonly TimedScore[],
  atMs: InstantMs,
  settings: PainTrendSettings = PAIN_TREND_SETTINGS,
): PainTrend => {
  const known = scores
    .filter((score) => score.atMs <= atMs)
    .toSorted((left, right) => left.atMs - right.atMs);
  const latest = known.at(-1);
  if (latest === undefined)
    return { riseInAlertWindow: 0, riseInCreepWindow: 0, state: "no scores", findings: [] };
  const riseSince = (spanMs: number) => latest.total - lowestSince(known, latest.atMs - spanMs);
  const riseInAlertWindow = riseSince(settings.alertWindowHours.value * MS_PER_HOUR);
  const riseInCreepWindow = riseSince(settings.creepWindowDays.value * MS_PER_DAY);
  const rise = settings.alertRise.value;
  if (riseInAlertWindow >= rise)
    return {
      latest,
      riseInAlertWindow,
      riseInCreepWindow,
      state: "alert",
      findings: [
        {
          rule: "examination/red-flag-pain-up@1",
          outcome: "warn",
          detail: `Pain score up by ${String(riseInAlertWindow)} in ${String(settings.alertWindowHours.value)} hours, now ${String(latest.total)} of 12: ring the vet.`,
          source: settings.alertRise.source,
        },
      ],
    };
  if (riseInCreepWindow >= rise)
    return {
      latest,
      riseInAlertWindow,
      riseInCreepWindow,
      state: "creeping",
      findings: [
        {
          rule: "examination/pain-creeping@1",
          outcome: "warn",
          detail: `Pain score up by ${String(riseInCreepWindow)} in ${String(settings.creepWindowDays.value)} days, now ${String(latest.total)} of 12: speak to the vet today.`,
          source: settings.creepWindowDays.source,
        },
      ],
    };
  return {
    latest,
    riseInAlertWindow,
    riseInCreepWindow,
    state: riseInAlertWindow > 0 ? "rising" : "steady or falling",
    findings: [],
  };
};

/**
 * A prompt to think again when a case is slow: about one in four is. Looks at the latest score from
 * day 14 after onset. @returns no finding before that day, without a score since, or at 2 or less.
 */
export const slowHealing = (
  scores: readonly TimedScore[],
  onsetAtMs: InstantMs,
  atMs: InstantMs,
  settings: PainTrendSettings = PAIN_TREND_SETTINGS,
): readonly Finding[] => {
  const { latest } = painTrend(scores, atMs, settings);
  if (latest === undefined) return [];
  const day = Math.floor((latest.atMs - onsetAtMs) / MS_PER_DAY);
  if (day < settings.slowFromDay.value || latest.total <= settings.slowAbove.value) return [];
  return [
    {
      rule: "examination/slow-healing@1",
      outcome: "warn",
      detail: `Score ${String(latest.total)} of 12 on day ${String(day)}; most horses are at ${String(settings.slowAbove.value)} or less by day ${String(settings.slowFromDay.value)}. Think again about cause, support and films.`,
      source: settings.slowAbove.source,
    },
  ];
};
