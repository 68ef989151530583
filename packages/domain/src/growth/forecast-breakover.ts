import type { LocalDate } from "../time/index.ts";
import { addDays } from "../time/index.ts";
import { growthAtGround, growthOverDays } from "./growth-over-days.ts";
import type { MonthFactors } from "./growth-over-days.ts";
import { STANDARD_GROWTH_VALUES } from "./sources.ts";
import type { GrowthValues } from "./sources.ts";

/** A forecast figure with its 80 % band. */
export interface Band {
  readonly mid: number;
  readonly low10: number;
  readonly high90: number;
}

export interface BreakoverForecastInput {
  /** Day of the reset. */
  readonly startOn: LocalDate;
  /** Breakover ahead of the tip of P3 as the farrier left it, mm. */
  readonly breakoverAfterMm: number;
  readonly growthMmPer30d: number;
  /** Spread of the growth rate, SD / mean. */
  readonly cv?: number;
  readonly wallAngleDegrees: number;
  readonly wearFraction?: number;
  readonly season?: MonthFactors;
  readonly readingSdMm?: number;
  /** The practice's figures on the day; else the standard ones. */
  readonly values?: GrowthValues;
}

/** Ninetieth centile of the standard normal distribution. source: any normal table, 1.2816. */
export const Z90 = 1.2815515655446004;
/** Two figures this close are the same figure: forecasts are compared to 0.01 mm. */
const SAME_MM = 0.005;
/** Further than two years nothing is forecast. */
const HORIZON_DAYS = 730;

export const bandAround = (mid: number, sd: number): Band => ({
  mid,
  low10: mid - Z90 * sd,
  high90: mid + Z90 * sd,
});

/**
 * Breakover ahead of the tip of P3 on a day after the reset, mm: what was left plus growth along the
 * wall × cos(wall angle). The band joins the spread of the growth rate and of one reading.
 */
export const forecastBreakover = (input: BreakoverForecastInput, day: number): Band => {
  const values = input.values ?? STANDARD_GROWTH_VALUES;
  const season = input.season ?? values.monthFactors;
  const grownMm = growthOverDays({ ...input, season, days: day });
  const { dorsalMm } = growthAtGround(grownMm, input.wallAngleDegrees);
  const sd = Math.hypot(
    (input.cv ?? values.cv) * dorsalMm,
    input.readingSdMm ?? values.readingSdMm,
  );
  return bandAround(input.breakoverAfterMm + dorsalMm, sd);
};

/** The forecast for each day from 0 to `days`. */
export const forecastSeries = (
  input: BreakoverForecastInput,
  days: number,
): readonly (Band & { readonly day: number; readonly on: LocalDate })[] =>
  Array.from({ length: days + 1 }, (_, day) => ({
    day,
    on: addDays(input.startOn, day),
    ...forecastBreakover(input, day),
  }));

/** First whole day on which a rising figure meets the limit, or null inside the horizon. */
const firstDayAt = (limitMm: number, figure: (day: number) => number): number | null => {
  const meets = (day: number) => figure(day) >= limitMm - SAME_MM;
  if (!meets(HORIZON_DAYS)) return null;
  let low = 0;
  let high = HORIZON_DAYS;
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (meets(middle)) high = middle;
    else low = middle + 1;
  }
  return low;
};

export interface LimitDay {
  readonly day: number;
  readonly on: LocalDate;
}

const dayFrom = (startOn: LocalDate, day: number | null): LimitDay | null =>
  day === null ? null : { day, on: addDays(startOn, day) };

/**
 * When the breakover meets the limit the vet set: in the middle of the forecast and, early, at its
 * fast edge (90 %). Null when it does not within two years.
 */
export const limitDate = (
  input: BreakoverForecastInput,
  limitMm: number,
): { readonly mid: LimitDay | null; readonly early: LimitDay | null } => ({
  mid: dayFrom(
    input.startOn,
    firstDayAt(limitMm, (day) => forecastBreakover(input, day).mid),
  ),
  early: dayFrom(
    input.startOn,
    firstDayAt(limitMm, (day) => forecastBreakover(input, day).high90),
  ),
});

/** What holds the date: the fast edge of the forecast, or the ceiling of the cycle. */
export type LatestSafeBound = "limit" | "ceiling";

/**
 * Latest day at which the fast edge of the forecast has not passed the limit, never later than the
 * cycle ceiling. It may pull a reset earlier; it never moves one later.
 */
export const latestSafeDay = (
  input: BreakoverForecastInput,
  limitMm: number,
  ceilingDays: number,
): LimitDay & { readonly bound: LatestSafeBound } => {
  const early = limitDate(input, limitMm).early;
  const byLimit = early !== null && early.day <= ceilingDays;
  const day = byLimit ? early.day : Math.floor(ceilingDays);
  return { day, on: addDays(input.startOn, day), bound: byLimit ? "limit" : "ceiling" };
};

export interface ResetSuggestion extends LimitDay {
  readonly bound: LatestSafeBound | "interval";
  readonly limit: ReturnType<typeof limitDate>;
  /** Days between the signed interval and the fast edge; negative means the interval is too long. */
  readonly slackDays: number | null;
  /** Left at or past the limit: it is being brought back in stages and the limit sets no date yet. */
  readonly pastLimitAtStart: boolean;
  readonly detail: string;
}

/**
 * Suggested reset: the shortest of signed interval, limit date and ceiling, at least one day on. A
 * suggestion only: the interval the vet signed stands until the vet changes it. A foot left at or past
 * its limit (a long toe taken back in stages) keeps the shorter of interval and ceiling and says so.
 */
export const suggestReset = (
  input: BreakoverForecastInput,
  limitMm: number,
  signedIntervalDays: number,
  ceilingDays: number,
): ResetSuggestion => {
  const limit = limitDate(input, limitMm);
  const pastLimitAtStart = limit.mid?.day === 0;
  const byLimit =
    limit.early === null || pastLimitAtStart ? Infinity : Math.max(1, limit.early.day);
  const day = Math.min(signedIntervalDays, Math.floor(ceilingDays), byLimit);
  const bound = day === signedIntervalDays ? "interval" : day === byLimit ? "limit" : "ceiling";
  const slackDays = limit.early === null ? null : limit.early.day - signedIntervalDays;
  const reach =
    limit.early === null
      ? `The forecast stays under the limit of ${limitMm} mm.`
      : `At the fast edge the breakover meets the limit of ${limitMm} mm on day ${limit.early.day} (${limit.early.on})${
          limit.mid === null ? "" : `, in the middle on day ${limit.mid.day} (${limit.mid.on})`
        }.`;
  const slack =
    slackDays !== null && slackDays <= 0
      ? ` The signed interval of ${signedIntervalDays} days leaves no slack.`
      : "";
  return {
    day,
    on: addDays(input.startOn, day),
    bound,
    limit,
    slackDays,
    pastLimitAtStart,
    detail: pastLimitAtStart
      ? `Breakover is left at ${input.breakoverAfterMm.toFixed(1)} mm, at or past the limit of ${limitMm} mm: bring it back in stages and keep the interval short.`
      : reach + slack,
  };
};
