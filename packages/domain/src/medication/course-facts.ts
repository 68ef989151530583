import { ageOn } from "../horse/index.ts";
import { daysBetween, localDateOf, type LocalDate } from "../time/index.ts";
import type { CeilingScope } from "./ceilings.ts";
import {
  counts,
  countDose,
  mergeDoseRecords,
  placeDoses,
  type CourseMarks,
  type DoseToCount,
  type PlacedDose,
} from "./counted-doses.ts";
import { drugOf } from "./formulary/index.ts";
import { localClock } from "./local-clock.ts";
import { scheduledDoses, type ScheduledDose } from "./schedule.ts";
import type { Course, DoseEvent, MedicationContext } from "./types.ts";

/** Courses that still have doses to come. */
export const isOpen = (course: Pick<Course, "status">): boolean =>
  course.status === "signed" || course.status === "held";

/** How far ahead open courses are looked at. */
const LOOK_AHEAD_DAYS = 60;

/** Age on a day: years and days, undefined where the birth is unknown. */
export const ageAt = (
  bornOn: LocalDate | undefined,
  on: LocalDate,
): { readonly years: number; readonly days: number } | undefined => {
  if (bornOn === undefined) return undefined;
  const age = ageOn({ bornOn }, on);
  return age === undefined ? undefined : { years: age.years, days: daysBetween(bornOn, on) };
};

/** The scope that decides which limits hold for this animal at the clock. */
export const scopeOf = (context: MedicationContext): CeilingScope => ({
  animal: context.animal,
  ageYears: ageAt(context.animal.bornOn, localDateOf(context.atMs, context.zone))?.years,
  jurisdiction: context.jurisdiction,
  settings: context.settings,
});

const givenToCount = (
  dose: DoseEvent,
  courses: ReadonlyMap<string, Course>,
  subject: boolean,
): DoseToCount => ({
  id: dose.id,
  atMs: dose.givenAtMs,
  drugKey: dose.drugKey,
  doseMg: dose.doseMg,
  route: dose.route,
  presentationKey:
    dose.presentationKey ??
    (dose.courseId === undefined ? undefined : courses.get(dose.courseId)?.presentationKey),
  courseId: dose.courseId,
  subject,
});

/** A planned dose as the limits count it. */
export const plannedToCount = (
  course: Pick<Course, "id" | "drugKey" | "route" | "presentationKey">,
  dose: ScheduledDose,
  subject: boolean,
): DoseToCount => ({
  id: `${course.id} ${String(dose.atMs)} ${String(dose.stepIndex)}`,
  atMs: dose.atMs,
  drugKey: course.drugKey,
  doseMg: dose.doseMg,
  route: course.route,
  presentationKey: course.presentationKey,
  courseId: course.id,
  subject,
});

/** Doses of a course still to come after an instant, within the look-ahead, less those given early. */
export const comingDoses = (
  course: Course,
  afterMs: number,
  given: readonly DoseEvent[],
): readonly ScheduledDose[] => {
  const today = daysBetween(course.startOn, localDateOf(afterMs, course.zone)) + 1;
  const done = new Set(
    given
      .filter((dose) => dose.courseId === course.id && counts(dose))
      .map((dose) => dose.scheduledAtMs),
  );
  return scheduledDoses(course, Math.max(1, today - 1), today + LOOK_AHEAD_DAYS).filter(
    (dose) => dose.atMs > afterMs && !done.has(dose.atMs),
  );
};

/** Given doses, one per slot, as the limits count them. */
export const historyToCount = (context: MedicationContext): readonly DoseToCount[] => {
  const courses = new Map(context.courses.map((course) => [course.id, course]));
  return mergeDoseRecords(context.doses)
    .kept.filter(counts)
    .map((dose) => givenToCount(dose, courses, false));
};

/** All doses of one active substance with their course days. */
export const placeMoiety = (
  doses: readonly DoseToCount[],
  moiety: string,
  courses: readonly CourseMarks[],
  context: Pick<MedicationContext, "zone">,
): readonly PlacedDose[] => {
  const mine = doses.filter((dose) => (drugOf(dose.drugKey)?.moiety ?? dose.drugKey) === moiety);
  const clock = localClock(context.zone);
  return placeDoses(
    mine.map((dose) => countDose(dose, clock)),
    courses,
  );
};
