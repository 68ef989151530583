import type { Source } from "../evidence/index.ts";
import { estimateGrowthRate } from "./growth-rate.ts";
import type { GrowthRate, GrowthRateInput } from "./growth-rate.ts";
import { GROWTH_SOURCES, STANDARD_GROWTH_VALUES } from "./sources.ts";

/** The rate a forecast goes by, and why. */
export interface HorseGrowth extends Omit<GrowthRate, "basis"> {
  readonly basis: GrowthRate["basis"] | "figure on the horse's record";
  /** The published rate it starts from. */
  readonly publishedMmPer30d: number;
  /** Readings still wanting until the horse's own rate takes over. */
  readonly readingsWanting: number;
}

const WRITTEN: Source = { ...GROWTH_SOURCES.cycleSpread, id: "house/growth-on-record" };

/**
 * The growth of one horse: its own readings joined with the published rate from the third reading on;
 * before that the figure somebody wrote on its record, else the published rate. Millimetres along the
 * wall in 30 days, yearly mean.
 */
export const horseGrowth = (
  input: GrowthRateInput & {
    readonly writtenMmPer30d?: number;
  },
): HorseGrowth => {
  const values = input.values ?? STANDARD_GROWTH_VALUES;
  const estimate = estimateGrowthRate(input);
  const readingsWanting = Math.max(0, values.readingsToReplaceDefault - estimate.readings);
  const common = { publishedMmPer30d: input.prior.growthMmPer30d, readingsWanting };
  const written = input.writtenMmPer30d;
  if (readingsWanting === 0 || written === undefined) return { ...estimate, ...common };
  const sdMmPer30d = values.cv * written;
  return {
    ...common,
    growthMmPer30d: written,
    sdMmPer30d,
    cv: values.cv,
    low95: written - 1.96 * sdMmPer30d,
    high95: written + 1.96 * sdMmPer30d,
    readings: estimate.readings,
    basis: "figure on the horse's record",
    source: WRITTEN,
  };
};
