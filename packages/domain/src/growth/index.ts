export {
  GROWTH_SETTINGS,
  GROWTH_SOURCES,
  growthValues,
  STANDARD_GROWTH_VALUES,
} from "./sources.ts";
export type { GrowthValues } from "./sources.ts";
export { growthAtGround, growthOverDays, seasonDays } from "./growth-over-days.ts";
export type { GrowthSpan, MonthFactors } from "./growth-over-days.ts";
export {
  forecastBreakover,
  forecastSeries,
  latestSafeDay,
  limitDate,
  suggestReset,
} from "./forecast-breakover.ts";
export type {
  Band,
  BreakoverForecastInput,
  LatestSafeBound,
  LimitDay,
  ResetSuggestion,
} from "./forecast-breakover.ts";
export { forecastFoot, forecastFootSeries } from "./forecast-foot.ts";
export type { FootForecast, FootForecastInput } from "./forecast-foot.ts";
export { estimateGrowthRate, monthsToGrowOut, publishedRate } from "./growth-rate.ts";
export type {
  BreakoverDrift,
  GrowthAnimal,
  GrowthLineReading,
  GrowthRate,
  GrowthRateInput,
  RatePrior,
} from "./growth-rate.ts";
export { horseGrowth } from "./horse-growth.ts";
export type { HorseGrowth } from "./horse-growth.ts";
