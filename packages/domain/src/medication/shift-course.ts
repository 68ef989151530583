import type { Finding, Judged, Source } from "../evidence/index.ts";
import { dayText, MS_PER_MINUTE } from "../time/index.ts";
import { counts } from "./counted-doses.ts";
import { found } from "./finding.ts";
import { nextSlots } from "./remaining-steps.ts";
import { minutesOfDay, MINUTES_PER_DAY } from "./schedule.ts";
import type { Slot } from "./slots.ts";
import type { Course, CourseShift, MedicationContext } from "./types.ts";

const SHIFT: Source = {
  id: "house/shift-doses",
  citation:
    "House rule: after a dose given late a vet may sign that the following doses come later by the same time, so that any 24 hours hold no more than the label allows; at most half the time to the next dose, never past midnight",
  status: "house rule",
};

/** Steps in which a shift is offered, in minutes. Source: house rule. */
const ROUND_UP_MINUTES = 5;

/** A course as it would stand after one more shift. */
export interface ShiftedCourse {
  readonly shift: CourseShift;
  readonly course: Course;
  /** The doses that move, as planned until now, and the same doses after the shift. */
  readonly before: readonly Slot[];
  readonly after: readonly Slot[];
}

const PREVIEW = 4;

const blocked = (rule: string, detail: string): Finding =>
  found(rule, "block", detail, SHIFT, "/byMinutes");

/**
 * A running course with its next open dose, and all after it, `byMinutes` later: whether the shift
 * itself is one (running course, size, midnight). The limits are asked afterwards of what is still to
 * come ({@link remainingSteps}), as for a new course: a shift moves doses, it never allows more.
 */
export const shiftCourse = (
  course: Course,
  byMinutes: number,
  context: MedicationContext,
): Judged<ShiftedCourse> => {
  const before = nextSlots(course, context.doses, context.atMs);
  const [next] = before;
  if (
    course.signedAtMs === undefined ||
    !["signed", "held"].includes(course.status) ||
    next === undefined
  )
    return {
      ok: false,
      findings: [
        blocked("shift-running", "Only a signed course with doses to come can be shifted."),
      ],
    };
  const most = Math.floor((next.lateUntilMs - next.atMs) / MS_PER_MINUTE);
  if (!Number.isInteger(byMinutes) || byMinutes < 1 || byMinutes > most)
    return {
      ok: false,
      findings: [
        blocked(
          "shift-size",
          `Shift by 1 to ${String(most)} whole minutes: at most half the time to the next dose.`,
        ),
      ],
    };
  const shift: CourseShift = { fromMs: next.atMs, byMinutes };
  const after = { ...course, shifts: [...(course.shifts ?? []), shift] };
  const later = after.shifts.reduce((sum, one) => sum + one.byMinutes, 0);
  const latest = Math.max(
    ...course.steps.flatMap((step) => step.timesLocal.map((time) => minutesOfDay(time))),
  );
  if (latest + later >= MINUTES_PER_DAY)
    return {
      ok: false,
      findings: [
        blocked("shift-midnight", "The last dose of a day would pass midnight: sign a new course."),
      ],
    };
  const moved = nextSlots(after, context.doses, context.atMs);
  const [first] = moved;
  return {
    ok: true,
    value: {
      shift,
      course: after,
      before: before.slice(0, PREVIEW),
      after: moved.slice(0, PREVIEW),
    },
    findings: [
      found(
        "shift",
        "pass",
        `The next dose comes at ${first?.timeLocal ?? ""} on ${dayText(next.on)} instead of ${next.timeLocal}; all after it come ${String(byMinutes)} minutes later as well.`,
        SHIFT,
      ),
    ],
  };
};

/** How late the last dose of a course was given, rounded up to what is offered; 0 when on time. */
export const offeredShiftMinutes = (course: Course, context: MedicationContext): number => {
  const last = context.doses
    .filter((dose) => dose.courseId === course.id && counts(dose))
    .toSorted((a, b) => a.givenAtMs - b.givenAtMs)
    .at(-1);
  if (last?.scheduledAtMs === undefined) return 0;
  const lateMinutes = (last.givenAtMs - last.scheduledAtMs) / MS_PER_MINUTE;
  return Math.max(0, Math.ceil(lateMinutes / ROUND_UP_MINUTES) * ROUND_UP_MINUTES);
};
