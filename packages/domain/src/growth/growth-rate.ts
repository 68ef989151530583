import type { Source } from "../evidence/index.ts";
import type { LocalDate } from "../time/index.ts";
import { daysBetween } from "../time/index.ts";
import { seasonDays } from "./growth-over-days.ts";
import type { MonthFactors } from "./growth-over-days.ts";
import { GROWTH_SOURCES, STANDARD_GROWTH_VALUES } from "./sources.ts";
import type { GrowthValues } from "./sources.ts";

export type GrowthAnimal = "horse" | "pony" | "donkey";

export interface RatePrior {
  readonly growthMmPer30d: number;
  readonly sdMmPer30d: number;
  readonly source: Source;
}

const AGED_YEARS = 20;

/**
 * Published growth to start from: 7 mm per 28 days in horses, 30.69 mm in five months in ponies
 * (also used for donkeys, for which no figure was found), 6 mm a month from 20 years.
 */
export const publishedRate = (
  animal: GrowthAnimal,
  ageYears?: number,
  sdMmPer30d: number = STANDARD_GROWTH_VALUES.priorSdMmPer30d,
): RatePrior => {
  if (ageYears !== undefined && ageYears < 1)
    return { growthMmPer30d: 15, sdMmPer30d: 2 * sdMmPer30d, source: GROWTH_SOURCES.growthByAge };
  if (ageYears !== undefined && ageYears < 2)
    return { growthMmPer30d: 12, sdMmPer30d: 2 * sdMmPer30d, source: GROWTH_SOURCES.growthByAge };
  if (animal === "horse" && ageYears !== undefined && ageYears >= AGED_YEARS)
    return { growthMmPer30d: 6, sdMmPer30d, source: GROWTH_SOURCES.growthByAge };
  return animal === "horse"
    ? { growthMmPer30d: (7 / 28) * 30, sdMmPer30d, source: GROWTH_SOURCES.josseck1995 }
    : {
        growthMmPer30d: (30.69 / (5 * (365.25 / 12))) * 30,
        sdMmPer30d,
        source: GROWTH_SOURCES.reilly1998,
      };
};

/** Distance of the new-growth line from the hairline at the toe, on a day. */
export interface GrowthLineReading {
  readonly on: LocalDate;
  readonly distanceMm: number;
}

/** Breakover left at one visit and found at the next: growth seen at the ground. */
export interface BreakoverDrift {
  readonly fromOn: LocalDate;
  readonly toOn: LocalDate;
  readonly leftMm: number;
  readonly foundMm: number;
  readonly wallAngleDegrees: number;
  readonly wearFraction: number;
}

export interface GrowthRateInput {
  readonly prior: RatePrior;
  readonly lineReadings?: readonly GrowthLineReading[];
  readonly drifts?: readonly BreakoverDrift[];
  readonly season?: MonthFactors;
  readonly readingSdMm?: number;
  /** The practice's figures on the day; else the standard ones. */
  readonly values?: GrowthValues;
}

export interface GrowthRate {
  /** Yearly mean along the wall. */
  readonly growthMmPer30d: number;
  readonly sdMmPer30d: number;
  /** Spread to hand to the forecast, SD / mean. */
  readonly cv: number;
  readonly low95: number;
  readonly high95: number;
  readonly readings: number;
  readonly basis: "published rate" | "own readings with the published rate";
  readonly source: Source;
}

interface Slope {
  readonly rate: number;
  readonly variance: number;
}

/** Least squares of distance on season-weighted days, in mm per 30 such days. */
const lineSlope = (
  readings: readonly GrowthLineReading[],
  readingSdMm: number,
  season: MonthFactors | undefined,
): Slope | null => {
  const sorted = readings.toSorted((a, b) => daysBetween(b.on, a.on));
  const first = sorted[0];
  if (first === undefined || sorted.length < 2) return null;
  const points = sorted.map((reading) => ({
    t: seasonDays(first.on, daysBetween(first.on, reading.on), season) / 30,
    y: reading.distanceMm,
  }));
  const n = points.length;
  const meanT = points.reduce((sum, p) => sum + p.t, 0) / n;
  const meanY = points.reduce((sum, p) => sum + p.y, 0) / n;
  const stt = points.reduce((sum, p) => sum + (p.t - meanT) ** 2, 0);
  if (stt === 0) return null;
  const rate = points.reduce((sum, p) => sum + (p.t - meanT) * (p.y - meanY), 0) / stt;
  const scatter = points.reduce((sum, p) => sum + (p.y - meanY - rate * (p.t - meanT)) ** 2, 0);
  // Readings that scatter more than one reading should widen the answer; they never narrow it.
  const sd = n > 2 ? Math.max(readingSdMm, Math.sqrt(scatter / (n - 2))) : readingSdMm;
  return { rate, variance: sd ** 2 / stt };
};

const driftSlope = (
  drift: BreakoverDrift,
  readingSdMm: number,
  season: MonthFactors | undefined,
): Slope | null => {
  const days = daysBetween(drift.fromOn, drift.toOn);
  const share = drift.wearFraction * Math.cos((drift.wallAngleDegrees * Math.PI) / 180);
  if (days <= 0 || !(share > 0)) return null;
  const perRate = (seasonDays(drift.fromOn, days, season) / 30) * share;
  return {
    rate: (drift.foundMm - drift.leftMm) / perRate,
    variance: (2 * readingSdMm ** 2) / perRate ** 2,
  };
};

/**
 * The horse's own growth rate: its readings joined with the published rate, each weighted by one over
 * its variance (normal–normal updating). Few or scattered readings stay near the published rate; a
 * long series overrules it. The default spread is replaced from the third reading on.
 */
export const estimateGrowthRate = (input: GrowthRateInput): GrowthRate => {
  const values = input.values ?? STANDARD_GROWTH_VALUES;
  const readingSdMm = input.readingSdMm ?? values.readingSdMm;
  const season = input.season ?? values.monthFactors;
  const lineReadings = input.lineReadings ?? [];
  const line = lineSlope(lineReadings, readingSdMm, season);
  const drifts = (input.drifts ?? [])
    .map((drift) => driftSlope(drift, readingSdMm, season))
    .filter((slope) => slope !== null);
  const own = line === null ? drifts : [line, ...drifts];
  const readings = (line === null ? 0 : lineReadings.length) + drifts.length;
  const weights = own.map((slope) => 1 / slope.variance);
  const priorWeight = 1 / input.prior.sdMmPer30d ** 2;
  const total = weights.reduce((sum, weight) => sum + weight, priorWeight);
  const growthMmPer30d =
    own.reduce(
      (sum, slope) => sum + slope.rate / slope.variance,
      input.prior.growthMmPer30d * priorWeight,
    ) / total;
  const sdMmPer30d = 1 / Math.sqrt(total);
  const ownSpread = readings >= values.readingsToReplaceDefault;
  return {
    growthMmPer30d,
    sdMmPer30d,
    cv: ownSpread ? Math.max(values.smallestCv, sdMmPer30d / growthMmPer30d) : values.cv,
    low95: growthMmPer30d - 1.96 * sdMmPer30d,
    high95: growthMmPer30d + 1.96 * sdMmPer30d,
    readings,
    basis: readings === 0 ? "published rate" : "own readings with the published rate",
    source: input.prior.source,
  };
};

/** Months until horn at the new-growth line reaches the ground. */
export const monthsToGrowOut = (wallBelowLineMm: number, growthMmPer30d: number): number =>
  ((wallBelowLineMm / growthMmPer30d) * 30) / (365.25 / 12);
