import type { InstantMs } from "../time/index.ts";
import { MS_PER_HOUR } from "../time/index.ts";
import { counts } from "./counted-doses.ts";
import { scheduledDoses, type ScheduledDose } from "./schedule.ts";
import type { Course, DoseEvent } from "./types.ts";

/** A planned dose with the time in which it may still be given. */
export interface Slot extends ScheduledDose {
  readonly courseId: string;
  /** Half of the time to the nearer neighbour: beyond it the dose is skipped. */
  readonly lateUntilMs: InstantMs;
  /** A quarter of the time to the neighbour: before it the dose is too early. */
  readonly earlyFromMs: InstantMs;
  /** Least time since the dose before it. */
  readonly leastGapMs: number;
}

/** Interval assumed for a course with a single dose. */
const SINGLE_DOSE_INTERVAL_MS = 24 * MS_PER_HOUR;

/** Slots of a course between two course days, with their time limits. Source of the halves: house rule. */
export const slotsOf = (course: Course, fromDay: number, toDay: number): readonly Slot[] => {
  const wide = scheduledDoses(course, Math.max(1, fromDay - 8), toDay + 8);
  return wide
    .map((dose, index): Slot => {
      const before = wide[index - 1];
      const after = wide[index + 1];
      const toNext = after === undefined ? undefined : after.atMs - dose.atMs;
      const fromLast = before === undefined ? undefined : dose.atMs - before.atMs;
      const next = toNext ?? fromLast ?? SINGLE_DOSE_INTERVAL_MS;
      const last = fromLast ?? toNext ?? SINGLE_DOSE_INTERVAL_MS;
      return {
        ...dose,
        courseId: course.id,
        lateUntilMs: dose.atMs + next / 2,
        earlyFromMs: dose.atMs - last / 4,
        leastGapMs: Math.min(next, last) / 2,
      };
    })
    .filter((slot) => slot.courseDay >= fromDay && slot.courseDay <= toDay);
};

/** Planned slots up to an instant that nobody recorded anything for, newest first, one run only. */
export const missedInARow = (
  course: Course,
  doses: readonly DoseEvent[],
  slots: readonly Slot[],
  atMs: InstantMs,
): number => {
  const taken = new Set(
    doses
      .filter((dose) => dose.courseId === course.id && counts(dose))
      .map((dose) => dose.scheduledAtMs),
  );
  let run = 0;
  for (const slot of slots.toReversed()) {
    if (slot.lateUntilMs > atMs) continue;
    if (taken.has(slot.atMs)) break;
    run += 1;
  }
  return run;
};
