import type { Setting } from "../evidence/index.ts";
import { daysBetween, type LocalDate } from "../time/index.ts";
import { LOSS_RATE, WEIGHT_RULES } from "./sources.ts";

/** Figures that judge a change of weight. */
export const WEIGHT_CHANGE_SETTINGS = {
  promptPercent: {
    key: "horse.weight-change-prompt",
    value: 5,
    unit: "%",
    source: WEIGHT_RULES,
    since: "2026-01-01",
    change: "tighten",
  },
  holdPercent: {
    key: "horse.weight-change-hold",
    value: 10,
    unit: "%",
    source: WEIGHT_RULES,
    since: "2026-01-01",
    change: "tighten",
  },
  weeklyLossLeastPercent: {
    key: "horse.weekly-loss-least",
    value: 0.5,
    unit: "% a week",
    source: LOSS_RATE,
    since: "2026-01-01",
    change: "free",
  },
  weeklyLossMostPercent: {
    key: "horse.weekly-loss-most",
    value: 1,
    unit: "% a week",
    source: LOSS_RATE,
    since: "2026-01-01",
    change: "tighten",
  },
} as const satisfies Record<string, Setting<number>>;

export type WeightChangeSettings = Readonly<
  Record<keyof typeof WEIGHT_CHANGE_SETTINGS, Setting<number>>
>;

export interface WeightChange {
  /** Signed change against the earlier weight. */
  readonly changePercent: number;
  /** `recalculate` asks the vet to work doses and rations out again; `hold` stops weight-based orders until then. */
  readonly band: "steady" | "recalculate" | "hold";
}

/** Rounding slack so that exactly 5 % or 10 % in kilograms is not lost in the last bit. */
const SLACK_PERCENT = 1e-9;

/** How far the weight has moved. @throws RangeError when a weight is not positive. */
export const weightChange = (
  previousKg: number,
  nowKg: number,
  settings: WeightChangeSettings = WEIGHT_CHANGE_SETTINGS,
): WeightChange => {
  if (!(previousKg > 0 && nowKg > 0)) throw new RangeError("weights must be positive");
  const changePercent = (100 * (nowKg - previousKg)) / previousKg;
  const size = Math.abs(changePercent) + SLACK_PERCENT;
  const band =
    size >= settings.holdPercent.value
      ? "hold"
      : size >= settings.promptPercent.value
        ? "recalculate"
        : "steady";
  return { changePercent, band };
};

export interface DatedWeight {
  readonly weightKg: number;
  readonly on: LocalDate;
}

export interface WeeklyLoss {
  /** Percent of the first weight lost each week on average; negative when gaining. */
  readonly lossPercentPerWeek: number;
  readonly band: "gaining" | "slower than planned" | "inside the band" | "faster than planned";
}

/** Average weekly loss between two weighings; undefined on the same day. */
export const weeklyLoss = (
  first: DatedWeight,
  last: DatedWeight,
  settings: WeightChangeSettings = WEIGHT_CHANGE_SETTINGS,
): WeeklyLoss | undefined => {
  const days = daysBetween(first.on, last.on);
  if (days <= 0) return undefined;
  const lossPercentPerWeek =
    (-weightChange(first.weightKg, last.weightKg).changePercent * 7) / days;
  const band =
    lossPercentPerWeek < 0
      ? "gaining"
      : lossPercentPerWeek < settings.weeklyLossLeastPercent.value - SLACK_PERCENT
        ? "slower than planned"
        : lossPercentPerWeek > settings.weeklyLossMostPercent.value + SLACK_PERCENT
          ? "faster than planned"
          : "inside the band";
  return { lossPercentPerWeek, band };
};
