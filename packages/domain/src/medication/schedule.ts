import { addDays, atLocalTime, type InstantMs, type LocalDate } from "../time/index.ts";
import type { Course, CourseStep } from "./types.ts";

/** One dose as planned. */
export interface ScheduledDose {
  readonly courseDay: number;
  readonly on: LocalDate;
  readonly timeLocal: string;
  readonly atMs: InstantMs;
  readonly doseMg: number;
  readonly stepIndex: number;
}

type Plan = Pick<Course, "steps" | "startOn" | "zone">;

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
        return step.timesLocal.map((timeLocal) => ({
          courseDay,
          on,
          timeLocal,
          atMs: atLocalTime(on, timeLocal, plan.zone),
          doseMg: step.doseMg,
          stepIndex,
        }));
      }),
    )
    .toSorted((a, b) => a.atMs - b.atMs || a.stepIndex - b.stepIndex);

/** Last course day of the plan. */
export const lastDayOf = (steps: readonly CourseStep[]): number =>
  Math.max(0, ...steps.map((step) => step.toDay));
