import type { HoofGrowth } from "@heelward/contracts";
import {
  CYCLE_SETTINGS,
  dueWindow,
  filmsBeforeReset,
  resetStandingAt,
  summariseContacts,
  whoseMove,
  type CyclePhase,
  type CycleSettings,
  type DueWindow,
  type ResetStanding,
} from "@heelward/domain/cycle";
import type { OwnFigures } from "@heelward/domain/evidence";
import {
  forecastBreakover,
  growthValues,
  limitDate,
  type BreakoverForecastInput,
} from "@heelward/domain/growth";
import { addDays, dayText, daysBetween, localDateOf, type LocalDate } from "@heelward/domain/time";
import { isoDay } from "../../http/dates.ts";
import { estimateMinutes, skillsNeeded, type JobFacts } from "./job.ts";
import type { ResetRow } from "./store.ts";

/** The phase that sets the interval; a horse without a case is judged as a sound one at risk. */
export const cyclePhase = (phase: ResetRow["phase"]): CyclePhase =>
  phase === null || phase === "closed" ? "sound reference" : phase;

/** How fast the feet grow, as the horse's plans are forecast. */
type Growth = Pick<HoofGrowth, "growthMmPer30d" | "cv">;

type GrowthFacts = Pick<ResetRow, "breakoverAfterMm" | "wearFraction" | "wallAngleDegrees"> & {
  readonly growth: Growth;
  /** The practice's own growth figures, where it has set some. */
  readonly ownFigures: OwnFigures | null;
};

const forecastInput = (facts: GrowthFacts, startOn: LocalDate): BreakoverForecastInput | null =>
  facts.breakoverAfterMm === null || facts.wallAngleDegrees === null
    ? null
    : {
        startOn,
        breakoverAfterMm: facts.breakoverAfterMm,
        growthMmPer30d: facts.growth.growthMmPer30d,
        cv: facts.growth.cv,
        wallAngleDegrees: facts.wallAngleDegrees,
        values: growthValues(facts.ownFigures ?? {}),
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

/** The days a reset is judged by: the practice's own where it has set one. */
const cycleSettings = ({ ownFigures }: Pick<ResetRow, "ownFigures">): CycleSettings => {
  const own = <N extends keyof CycleSettings>(name: N) => {
    const setting = CYCLE_SETTINGS[name];
    return { ...setting, value: ownFigures?.[setting.key] ?? setting.value };
  };
  return {
    amberDaysLate: own("amberDaysLate"),
    redDaysLate: own("redDaysLate"),
    dueSoonDays: own("dueSoonDays"),
    longestDays: own("longestDays"),
    complianceGraceDays: own("complianceGraceDays"),
    filmFreshDays: own("filmFreshDays"),
  };
};

export const windowOf = (row: ResetRow): DueWindow =>
  dueWindow(
    {
      lastDoneOn: isoDay(row.lastDoneOn),
      intervalDays: row.intervalDays,
      phase: cyclePhase(row.phase),
      zone: row.yard.timeZone,
      ...(row.forecastLimitOn === null ? {} : { forecastLimitOn: isoDay(row.forecastLimitOn) }),
      ...(row.likelyLimitOn === null ? {} : { likelyLimitOn: isoDay(row.likelyLimitOn) }),
    },
    cycleSettings(row),
    row.ownFigures ?? {},
  );

export const standingOf = (row: ResetRow, nowMs: number): ResetStanding =>
  resetStandingAt(
    windowOf(row),
    nowMs,
    {
      painUp: row.isPainUp,
      ...(row.pausedReason === null
        ? {}
        : { pauses: [{ kind: "hospital" as const, fromOn: isoDay(row.lastDoneOn) }] }),
    },
    cycleSettings(row),
  );

/** Breakover today by the middle of the forecast, mm; null where wall or breakover were not measured. */
export const breakoverNowMm = (row: ResetRow, growth: Growth, nowMs: number): number | null => {
  const startOn = isoDay(row.lastDoneOn);
  const input = forecastInput({ ...row, growth }, startOn);
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
      ...(row.ownerAnswer === null || row.ownerAnswer === "yes" ? {} : { ownerConfirmed: false }),
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

const jobFacts = (row: ResetRow): JobFacts => ({
  animalType: row.horse.type,
  job: row.job,
  feet: row.feet,
  plan:
    row.plan === null
      ? null
      : {
          feet: row.plan.feet,
          vetPresent: row.plan.conditions.vetPresent === true,
          handler: row.plan.conditions.handler === true,
        },
});

/** Minutes this reset takes, by horse and kind of job. */
export const minutesOf = (row: ResetRow): number => estimateMinutes(jobFacts(row), row.ownFigures);

/** Skills this reset asks of a farrier. */
export const skillsOf = (row: ResetRow): readonly string[] => skillsNeeded(jobFacts(row));

/** A film to take before this reset, and why; null when none is needed. */
export const filmNeed = (row: ResetRow): string | null => {
  const { timeZone } = row.yard;
  const need = filmsBeforeReset(
    {
      resetOn:
        row.bookedFor === null
          ? windowOf(row).bookBy
          : localDateOf(row.bookedFor.getTime(), timeZone),
      inTreatment:
        row.phase === "acute" || row.phase === "subacute" || row.phase === "chronic active",
      ...(row.lastFilmAt === null
        ? {}
        : { lastFilmOn: localDateOf(row.lastFilmAt.getTime(), timeZone) }),
    },
    cycleSettings(row),
  );
  return need.needed
    ? `${need.reason ?? "a film is due"}; take one from ${dayText(need.takeFrom)} to ${dayText(need.takeBy)}`
    : null;
};

/** Tries to reach the owner since the last answer, in one line; null when none waits. */
export const contactLine = (row: ResetRow): string | null =>
  summariseContacts(
    row.attempts
      // Oldest first: a letter and its answer may bear the same time.
      .toReversed()
      .filter((one) => one.kind === "contact")
      .map((one) => ({
        on: localDateOf(Date.parse(one.at), row.yard.timeZone),
        atMs: Date.parse(one.at),
        by: one.channel ?? "call",
        ...(one.answer === null ? {} : { answer: one.answer }),
      })),
  ).line ?? null;
