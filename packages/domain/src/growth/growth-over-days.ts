import type { LocalDate } from "../time/index.ts";
import { MS_PER_DAY } from "../time/index.ts";
import { GROWTH_SETTINGS } from "./sources.ts";

/** Twelve factors, January first, by which the yearly mean rate is multiplied. */
export type MonthFactors = readonly number[];

export interface GrowthSpan {
  readonly startOn: LocalDate;
  /** Days since the start; the share of a last, unfinished day counts as a share. */
  readonly days: number;
  /** Yearly mean growth along the wall. */
  readonly growthMmPer30d: number;
  /** Part of the growth that is not worn away: 1 when shod. */
  readonly wearFraction?: number;
  readonly season?: MonthFactors;
}

const startMs = (date: LocalDate): number => {
  const ms = Date.parse(`${date}T00:00:00Z`);
  if (Number.isNaN(ms)) throw new RangeError(`not a date: ${date}`);
  return ms;
};

/**
 * Days weighted by the factor of the month each falls in. The start day itself is the first day
 * counted, so a span of 28 days from 4 May lies wholly in May.
 */
export const seasonDays = (
  startOn: LocalDate,
  days: number,
  season: MonthFactors = GROWTH_SETTINGS.monthFactors.value,
): number => {
  if (!(days >= 0)) throw new RangeError(`days must be 0 or more: ${days}`);
  if (season.length !== 12) throw new RangeError("season needs twelve month factors");
  let at = startMs(startOn);
  let left = days;
  let sum = 0;
  while (left > 0) {
    const date = new Date(at);
    const month = date.getUTCMonth();
    const next = Date.UTC(date.getUTCFullYear(), month + 1, 1);
    const inMonth = Math.min(left, (next - at) / MS_PER_DAY);
    sum += inMonth * (season[month] ?? 1);
    left -= inMonth;
    at = next;
  }
  return sum;
};

/**
 * Growth along the wall that stays on the foot, mm.
 * Formula: sum over days of rate / 30 × wear fraction × month factor.
 */
export const growthOverDays = (span: GrowthSpan): number =>
  (seasonDays(span.startOn, span.days, span.season) *
    span.growthMmPer30d *
    (span.wearFraction ?? 1)) /
  30;

/** How far growth along a wall at an angle carries its ground contact: forward and down, mm. */
export const growthAtGround = (
  growthMm: number,
  wallAngleDegrees: number,
): { readonly dorsalMm: number; readonly distalMm: number } => {
  const wall = (wallAngleDegrees * Math.PI) / 180;
  return { dorsalMm: growthMm * Math.cos(wall), distalMm: growthMm * Math.sin(wall) };
};
