import { daysBetween, localDateOf, type InstantMs } from "../time/index.ts";
import { counts } from "./counted-doses.ts";
import { laterOnClock } from "./schedule.ts";
import { slotsOf, type Slot } from "./slots.ts";
import type { Course, CourseStep, DoseEvent } from "./types.ts";

const dayOf = (course: Course, atMs: InstantMs): number =>
  daysBetween(course.startOn, localDateOf(atMs, course.zone)) + 1;

const takenSlots = (course: Course, doses: readonly DoseEvent[]): ReadonlySet<unknown> =>
  new Set(
    doses
      .filter((dose) => dose.courseId === course.id && counts(dose))
      .map((dose) => dose.scheduledAtMs),
  );

/** Planned doses of one local day that may still be given: not recorded, not past half their time. */
const openSlots = (
  course: Course,
  doses: readonly DoseEvent[],
  atMs: InstantMs,
): readonly Slot[] => {
  const taken = takenSlots(course, doses);
  const day = Math.max(1, dayOf(course, atMs));
  return slotsOf(course, day, day).filter(
    (slot) => slot.lateUntilMs > atMs && !taken.has(slot.atMs),
  );
};

/** How many days ahead the next dose is looked for: the longest gap of a plan and a day. */
const NEXT_WITHIN_DAYS = 15;

/** The next dose that may still be given, and the one after it. */
export const nextSlots = (
  course: Course,
  doses: readonly DoseEvent[],
  atMs: InstantMs,
): readonly Slot[] => {
  const taken = takenSlots(course, doses);
  const day = Math.max(1, dayOf(course, atMs));
  return slotsOf(course, Math.max(1, day - 1), day + NEXT_WITHIN_DAYS).filter(
    (slot) => slot.lateUntilMs > atMs && !taken.has(slot.atMs),
  );
};

/**
 * What a running course still has to come, as steps of the same shape: the doses of today that are
 * still open, then every later day, at the clock times that hold after all shifts.
 */
export const remainingSteps = (
  course: Course,
  doses: readonly DoseEvent[],
  atMs: InstantMs,
): readonly CourseStep[] => {
  const today = Math.max(1, dayOf(course, atMs));
  const open = openSlots(course, doses, atMs);
  const amounts = [...new Set(open.map((slot) => slot.stepIndex))];
  const later = (course.shifts ?? []).reduce((sum, { byMinutes }) => sum + byMinutes, 0);
  return [
    ...amounts.flatMap((stepIndex): readonly CourseStep[] => {
      const mine = open.filter((slot) => slot.stepIndex === stepIndex);
      const [first] = mine;
      return first === undefined
        ? []
        : [
            {
              fromDay: today,
              toDay: today,
              doseMg: first.doseMg,
              timesLocal: mine.map((slot) => slot.timeLocal),
              everyDays: 1,
            },
          ];
    }),
    ...course.steps.flatMap((step): readonly CourseStep[] => {
      const skipped = Math.max(0, Math.ceil((today + 1 - step.fromDay) / step.everyDays));
      const fromDay = step.fromDay + skipped * step.everyDays;
      return fromDay > step.toDay
        ? []
        : [
            {
              ...step,
              fromDay,
              timesLocal: step.timesLocal.map((time) => laterOnClock(time, later)),
            },
          ];
    }),
  ];
};
