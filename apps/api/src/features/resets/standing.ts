import {
  dueWindow,
  resetStandingAt,
  whoseMove,
  type CyclePhase,
  type DueWindow,
  type ResetStanding,
} from "@heelward/domain/cycle";
import { forecastBreakover, limitDate, type BreakoverForecastInput } from "@heelward/domain/growth";
import { addDays, daysBetween, localDateOf, type LocalDate } from "@heelward/domain/time";
import { isoDay } from "../../http/dates.ts";
import type { ResetRow } from "./store.ts";

/** The phase that sets the interval; a horse without a case is judged as a sound one at risk. */
export const cyclePhase = (phase: ResetRow["phase"]): CyclePhase =>
  phase === null || phase === "closed" ? "sound reference" : phase;

type GrowthFacts = Pick<
  ResetRow,
  "breakoverAfterMm" | "growthMmPer30d" | "wearFraction" | "wallAngleDegrees"
>;

const forecastInput = (facts: GrowthFacts, startOn: LocalDate): BreakoverForecastInput | null =>
  facts.breakoverAfterMm === null ||
  facts.growthMmPer30d === null ||
  facts.wallAngleDegrees === null
    ? null
    : {
        startOn,
        breakoverAfterMm: facts.breakoverAfterMm,
        growthMmPer30d: facts.growthMmPer30d,
        wallAngleDegrees: facts.wallAngleDegrees,
        ...(facts.wearFraction === null ? {} : { wearFraction: facts.wearFraction }),
      };

/** When growth carries the breakover to its limit: at the fast edge and in the middle of the forecast. */
export const forecastLimits = (
  facts: GrowthFacts & { readonly breakoverLimitMm: number | null },
  startOn: LocalDate,
): { readonly forecastLimitOn: LocalDate | null; readonly likelyLimitOn: LocalDate | null } => {
  const input = forecastInput(facts, startOn);
  if (input === null || facts.breakoverLimitMm === null)
    return { forecastLimitOn: null, likelyLimitOn: null };
  const { early, mid } = limitDate(input, facts.breakoverLimitMm);
  // A foot left at its limit is brought back in stages: growth sets no date for it yet.
  return mid !== null && mid.day === 0
    ? { forecastLimitOn: null, likelyLimitOn: null }
    : { forecastLimitOn: early?.on ?? null, likelyLimitOn: mid?.on ?? null };
};

export const windowOf = (row: ResetRow): DueWindow =>
  dueWindow({
    lastDoneOn: isoDay(row.lastDoneOn),
    intervalDays: row.intervalDays,
    phase: cyclePhase(row.phase),
    zone: row.yard.timeZone,
    ...(row.forecastLimitOn === null ? {} : { forecastLimitOn: isoDay(row.forecastLimitOn) }),
    ...(row.likelyLimitOn === null ? {} : { likelyLimitOn: isoDay(row.likelyLimitOn) }),
  });

export const standingOf = (row: ResetRow, nowMs: number): ResetStanding =>
  resetStandingAt(windowOf(row), nowMs, {
    painUp: row.isPainUp,
    ...(row.pausedReason === null
      ? {}
      : { pauses: [{ kind: "hospital" as const, fromOn: isoDay(row.lastDoneOn) }] }),
  });

/** Breakover today by the middle of the forecast, mm; null without growth figures. */
export const breakoverNowMm = (row: ResetRow, nowMs: number): number | null => {
  const startOn = isoDay(row.lastDoneOn);
  const input = forecastInput(row, startOn);
  const days = daysBetween(startOn, localDateOf(nowMs, row.yard.timeZone));
  return input === null || days < 0
    ? null
    : Math.round(forecastBreakover(input, days).mid * 10) / 10;
};

export const moveOf = (row: ResetRow, nowMs: number) => {
  const last = row.attempts.find(
    (attempt) => attempt.kind !== "contact" && attempt.kind !== "rebooked",
  );
  return whoseMove(
    {
      state: standingOf(row, nowMs).state,
      painUp: row.isPainUp,
      booked: row.status === "booked",
      ...(last === undefined || last.kind === "contact" || last.kind === "rebooked"
        ? {}
        : { lastOutcome: last.kind }),
    },
    {
      vet: row.leadVet ?? "the vet on call",
      farrier: row.farrier?.name ?? "no farrier yet",
      manager: "the practice manager",
    },
  );
};

/** Due day from the last reset that was done. */
export const dueOnFrom = (lastDoneOn: LocalDate, intervalDays: number): LocalDate =>
  addDays(lastDoneOn, intervalDays);
