import type { LocalDate } from "../time/index.ts";
import { addDays } from "../time/index.ts";
import { bandAround, forecastBreakover, Z90 } from "./forecast-breakover.ts";
import type { Band, BreakoverForecastInput } from "./forecast-breakover.ts";
import { growthAtGround, growthOverDays } from "./growth-over-days.ts";
import { STANDARD_GROWTH_VALUES } from "./sources.ts";

export interface FootForecastInput extends BreakoverForecastInput {
  readonly toeLengthMm: number;
  readonly palmarAngleDegrees: number;
  readonly soleDepthTipMm: number;
  /** Heel contact to the tip of P3 along the ground, mm: the base the foot tips on. */
  readonly baseLengthMm: number;
  readonly angleReadingSdDegrees?: number;
  /** Downward growth of the heel as a share of the toe's; the horse's own if known. */
  readonly heelToToeRatio?: { readonly mean: number; readonly sd: number };
  /** Gain of sole under the tip per 30 days; the horse's own if known. */
  readonly soleGainMmPer30d?: { readonly mean: number; readonly sd: number };
}

export interface FootForecast {
  readonly day: number;
  readonly on: LocalDate;
  readonly breakoverMm: Band;
  readonly toeLengthMm: Band;
  readonly palmarAngleDegrees: Band;
  readonly soleDepthTipMm: Band;
}

const DEGREES = 180 / Math.PI;

/**
 * The whole foot on a day after the reset. Breakover and toe length follow from growth. The palmar
 * angle turns with the difference of heel and toe growth over the base; because the direction differs
 * between feet the band is wide unless the horse's own ratio is given. Sole is held where it was
 * measured unless the horse's own gain is given, and never gains more than 6 mm in 30 days.
 */
export const forecastFoot = (input: FootForecastInput, day: number): FootForecast => {
  const values = input.values ?? STANDARD_GROWTH_VALUES;
  const readingSdMm = input.readingSdMm ?? values.readingSdMm;
  const cv = input.cv ?? values.cv;
  const season = input.season ?? values.monthFactors;
  const grownMm = growthOverDays({ ...input, season, days: day });
  const downMm = growthAtGround(grownMm, input.wallAngleDegrees).distalMm;
  const ratio = input.heelToToeRatio ?? values.heelToToeRatio;
  const turnDegrees = Math.atan(((ratio.mean - 1) * downMm) / input.baseLengthMm) * DEGREES;
  const turnSd = Math.atan((ratio.sd * downMm) / input.baseLengthMm) * DEGREES;
  const most = (values.soleGainMmPer30d.most * day) / 30;
  const gain = input.soleGainMmPer30d ?? values.soleGainMmPer30d;
  const gainMm = Math.min((gain.mean * day) / 30, most);
  const sole = bandAround(
    input.soleDepthTipMm + gainMm,
    Math.hypot((gain.sd * day) / 30, readingSdMm),
  );
  return {
    day,
    on: addDays(input.startOn, day),
    breakoverMm: forecastBreakover(input, day),
    toeLengthMm: bandAround(input.toeLengthMm + grownMm, Math.hypot(cv * grownMm, readingSdMm)),
    palmarAngleDegrees: bandAround(
      input.palmarAngleDegrees + turnDegrees,
      Math.hypot(turnSd, input.angleReadingSdDegrees ?? 0.7),
    ),
    soleDepthTipMm: {
      mid: sole.mid,
      low10: Math.max(0, sole.low10),
      high90: Math.min(sole.high90, input.soleDepthTipMm + most + Z90 * readingSdMm),
    },
  };
};

/** The forecast of the whole foot for each day from 0 to `days`. */
export const forecastFootSeries = (
  input: FootForecastInput,
  days: number,
): readonly FootForecast[] =>
  Array.from({ length: days + 1 }, (_, day) => forecastFoot(input, day));
