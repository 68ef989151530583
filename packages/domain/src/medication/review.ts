import { addDays, localDateOf, type LocalDate } from "../time/index.ts";
import { ageAt, historyToCount, placeMoiety } from "./course-facts.ts";
import { SERIES_GAP_DAYS } from "./counted-doses.ts";
import { drugOf } from "./formulary/index.ts";
import type { Drug } from "./formulary/types.ts";
import { dayIndexOf, localClock } from "./local-clock.ts";
import type { Course, MedicationContext } from "./types.ts";

const everyDays = (drug: Drug, context: MedicationContext): number => {
  const { review } = drug;
  const own = Math.min(
    review.thenEveryDays,
    drug.classes.includes("NSAID") || drug.key === "paracetamol"
      ? (context.settings?.resignEveryDays ?? review.thenEveryDays)
      : review.thenEveryDays,
  );
  const years = ageAt(context.animal.bornOn, localDateOf(context.atMs, context.zone))?.years;
  return review.agedFromYears !== undefined &&
    review.agedEveryDays !== undefined &&
    years !== undefined &&
    years >= review.agedFromYears
    ? Math.min(own, review.agedEveryDays)
    : own;
};

/** Day number in the run of treatment that the first day of a course stands for. */
const startsOnSeriesDay = (
  course: Pick<Course, "drugKey" | "startOn" | "continuesFromDay" | "restartsSeries">,
  drug: Drug,
  context: MedicationContext,
): number => {
  if (course.restartsSeries === true) return 1;
  const history = placeMoiety(historyToCount(context), drug.moiety, context.courses, context);
  const startDay = dayIndexOf(course.startOn);
  const last = history.findLast((dose) => dose.day < startDay);
  const running = last !== undefined && startDay - last.day <= SERIES_GAP_DAYS;
  return Math.max(course.continuesFromDay ?? 1, running ? last.courseDay + startDay - last.day : 1);
};

/**
 * Day by which a vet must have looked again and signed. The label's day-5 look counts from the
 * first dose of the active substance; a course that starts later goes straight to the interval.
 */
export const firstReviewOn = (
  course: Pick<Course, "drugKey" | "startOn" | "continuesFromDay" | "restartsSeries">,
  drug: Drug,
  context: MedicationContext,
): LocalDate => {
  const interval = everyDays(drug, context);
  const first = drug.review.firstDay;
  if (first === undefined) return addDays(course.startOn, interval);
  const seriesDay = startsOnSeriesDay(course, drug, context);
  return seriesDay <= first
    ? addDays(course.startOn, first - seriesDay)
    : addDays(course.startOn, interval);
};

/** The label accepts a look on day 4 or 5, so a signature one day before the day counts. */
const EARLY_REVIEW_DAYS = 1;

/** The day by which the next signature is due, given those already made. */
export const nextReviewOn = (course: Course, context: MedicationContext): LocalDate => {
  const drug = drugOf(course.drugKey);
  if (drug === undefined) return course.startOn;
  const clock = localClock(course.zone);
  const reviews = (course.reviewedAtMs ?? []).map(clock.dayIndex).toSorted((a, b) => a - b);
  const first = firstReviewOn(course, drug, context);
  const earliest = dayIndexOf(first) - EARLY_REVIEW_DAYS;
  const last = reviews.findLast((day) => day >= earliest);
  return last === undefined
    ? first
    : addDays(first, last - dayIndexOf(first) + everyDays(drug, context));
};
