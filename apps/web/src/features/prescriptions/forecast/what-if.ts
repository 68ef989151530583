import type { FootPlanView, HoofGrowth } from "@heelward/contracts";
import {
  forecastFoot,
  forecastFootSeries,
  limitDate,
  type FootForecast,
  type FootForecastInput,
  type LimitDay,
} from "@heelward/domain/growth";
import { trimOutcome, type TrimInput } from "@heelward/domain/trim";

/** What a person tries out beside the plan: nothing of it is kept. */
export interface Wish {
  readonly intervalDays: number;
  readonly heelRemoveMm: number;
  readonly growthMmPer30d: number;
}

export interface WhatIf {
  /** Day by day from the fitting on, past the reset. */
  readonly series: readonly FootForecast[];
  readonly atReset: FootForecast;
  /** When breakover meets the limit: in the middle of the forecast and at its fast edge. */
  readonly limit: { readonly mid: LimitDay | null; readonly early: LimitDay | null } | null;
  /** Days between the reset and the fast edge; negative means that the reset comes too late. */
  readonly slackDays: number | null;
}

/** A wall nobody measured, for the drawing of its growth. House outline. */
const USUAL_TOE_MM = 85;
const DAYS_SHOWN_PAST = 7;

/**
 * The foot from the day of fitting to past the next reset, for an interval, a heel and a growth that
 * somebody tries out. Breakover and toe start from the plan, the angle from the heel tried.
 */
export const whatIf = (
  input: TrimInput,
  plan: Pick<FootPlanView, "toeBackMm" | "breakoverFromP3TipMm" | "limitMm">,
  growth: Pick<HoofGrowth, "cv">,
  wish: Wish,
  startOn: string,
): WhatIf => {
  const { after, trim } = trimOutcome(input, {
    heelRemoveMm: wish.heelRemoveMm,
    toeBackMm: plan.toeBackMm,
  });
  const { measures } = input;
  const wedge = measures.wedgeInPlaceDegrees ?? 0;
  const from: FootForecastInput = {
    startOn,
    breakoverAfterMm: plan.breakoverFromP3TipMm,
    growthMmPer30d: wish.growthMmPer30d,
    cv: growth.cv,
    wallAngleDegrees: measures.dorsalWallAngleDegrees.value - wedge,
    toeLengthMm: (measures.toeLengthMm?.value ?? USUAL_TOE_MM) - trim.toeAlongWallMm,
    palmarAngleDegrees: after.palmarAngleDegrees,
    soleDepthTipMm: after.soleTipMm.valueMm,
    baseLengthMm:
      measures.baseLengthMm?.value ??
      measures.bearingLengthMm.value - measures.breakoverDistanceMm.value,
    ...(input.growth?.wearFraction === undefined
      ? {}
      : { wearFraction: input.growth.wearFraction }),
    ...(input.growth?.values === undefined ? {} : { values: input.growth.values }),
  };
  const limitMm = plan.limitMm ?? input.growth?.limitMm;
  const limit = limitMm === undefined ? null : limitDate(from, limitMm);
  return {
    series: forecastFootSeries(
      from,
      Math.max(wish.intervalDays, input.ceilingDays) + DAYS_SHOWN_PAST,
    ),
    atReset: forecastFoot(from, wish.intervalDays),
    limit,
    slackDays: limit === null || limit.early === null ? null : limit.early.day - wish.intervalDays,
  };
};
