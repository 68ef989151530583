import { addDays, atLocalTime, type InstantMs, type LocalDate } from "../time/index.ts";
import type { Course, CourseStep } from "./types.ts";

/** One dose as planned. */
export interface ScheduledDose {
  readonly courseDay: number;
  readonly on: LocalDate;
  readonly timeLocal: string;
  /** The clock time as first signed, before any shift. */
  readonly signedTimeLocal: string;
  readonly atMs: InstantMs;
  readonly doseMg: number;
  readonly stepIndex: number;
}

type Plan = Pick<Course, "steps" | "startOn" | "zone" | "shifts">;

export const MINUTES_PER_DAY = 1440;

/** Minutes since midnight of `HH:MM`. */
export const minutesOfDay = (timeLocal: string): number => {
  const [hours = 0, minutes = 0] = timeLocal.split(":").map(Number);
  return hours * 60 + minutes;
};

/** `08:00` and 20 is `08:20`; wraps at midnight. */
export const laterOnClock = (timeLocal: string, byMinutes: number): string => {
  const at = (minutesOfDay(timeLocal) + byMinutes) % MINUTES_PER_DAY;
  return `${String(Math.floor(at / 60)).padStart(2, "0")}:${String(at % 60).padStart(2, "0")}`;
};

/** Where the shifts signed so far put a dose: on the yard's clock, so that 20 minutes later stays 20 minutes later over a clock change. */
const shifted = (
  plan: Plan,
  on: LocalDate,
  signedTimeLocal: string,
): Pick<ScheduledDose, "timeLocal" | "atMs"> => {
  let timeLocal = signedTimeLocal;
  let atMs = atLocalTime(on, timeLocal, plan.zone);
  for (const { fromMs, byMinutes } of plan.shifts ?? []) {
    if (atMs < fromMs) continue;
    timeLocal = laterOnClock(timeLocal, byMinutes);
    atMs = atLocalTime(on, timeLocal, plan.zone);
  }
  return { timeLocal, atMs };
};

/** Longest calendar worked out at once; open-ended courses are planned in pieces. */
export const MAX_PLAN_DAYS = 400;

const daysOf = (step: CourseStep, fromDay: number, toDay: number): readonly number[] => {
  const every = Math.max(1, step.everyDays);
  const skipped = Math.max(0, Math.ceil((fromDay - step.fromDay) / every));
  const first = step.fromDay + skipped * every;
  const last = Math.min(step.toDay, toDay, first + MAX_PLAN_DAYS);
  const days: number[] = [];
  for (let day = first; day <= last; day += every) days.push(day);
  return days;
};

/**
 * Every dose of a plan, in order of time. Doses follow the yard's wall clock, so a clock change
 * neither doubles nor drops one: a skipped time moves forward, a repeated time is used once.
 * `fromDay`/`toDay` limit the course days that are worked out.
 */
export const scheduledDoses = (
  plan: Plan,
  fromDay = 1,
  toDay = Number.POSITIVE_INFINITY,
): readonly ScheduledDose[] =>
  plan.steps
    .flatMap((step, stepIndex) =>
      daysOf(step, fromDay, toDay).flatMap((courseDay) => {
        const on = addDays(plan.startOn, courseDay - 1);
        return step.timesLocal.map((signedTimeLocal) => ({
          courseDay,
          on,
          signedTimeLocal,
          ...shifted(plan, on, signedTimeLocal),
          doseMg: step.doseMg,
          stepIndex,
        }));
      }),
    )
    .toSorted((a, b) => a.atMs - b.atMs || a.stepIndex - b.stepIndex);

/** Last course day of the plan. */
export const lastDayOf = (steps: readonly CourseStep[]): number =>
  Math.max(0, ...steps.map((step) => step.toDay));
