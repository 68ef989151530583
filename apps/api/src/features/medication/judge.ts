import type { Finding, Judged } from "@heelward/domain/evidence";
import {
  buildCourse,
  drugOf,
  judgeCourse,
  lastDayOf,
  missingReasons,
  nextReviewOn,
  onNewWeight,
  presentationOf,
  remainingSteps,
  type Course,
  type CoursePlan,
  type Override,
} from "@heelward/domain/medication";
import { addDays, dayText, localDateOf, type LocalDate } from "@heelward/domain/time";
import { badField, ruleViolated } from "../../http/problem.ts";
import { toCourse, type HorseMedication } from "./context.ts";
import type { CourseContent } from "./course-content.ts";
import { openCourses } from "./holds.ts";
import type { CourseRow } from "./store.ts";
import { requestOf } from "./views.ts";

/** Refuses what is not a matter of care but a slip: a drug not in the formulary, days out of order. */
export const assertContent = (medication: HorseMedication, content: CourseContent): void => {
  const { context } = medication;
  const drug = drugOf(content.drugKey);
  if (drug === undefined) throw badField("/drugKey", "is not in the formulary");
  if (presentationOf(drug, content.presentationKey) === undefined)
    throw badField("/presentationKey", `is not a presentation of ${drug.name}`);
  if (content.startOn < localDateOf(context.atMs, context.zone))
    throw badField(
      "/startOn",
      "lies in the past; start today and say with continuesFromDay which day it is",
    );
  if (content.reviewOn !== null && content.reviewOn < content.startOn)
    throw badField("/reviewOn", "lies before the start");
  if (
    content.replacesCourseId !== null &&
    !openCourses(medication).some((course) => course.id === content.replacesCourseId)
  )
    throw badField("/replacesCourseId", "is not a running course of this horse");
};

/** What the rules say about a course, with its plan even where it is blocked. */
export const judgeContent = (
  medication: HorseMedication,
  content: CourseContent,
  id?: string,
): { readonly judged: Judged<CoursePlan>; readonly plan: CoursePlan | undefined } => {
  const request = requestOf(content, id);
  const judged = judgeCourse(request, medication.context);
  return {
    judged,
    plan: judged.ok ? judged.value : buildCourse(request, medication.context),
  };
};

/** The day by which the vet looks again: the vet's own when it is sooner than the rules ask. */
export const reviewDay = (content: CourseContent, plan: CoursePlan): LocalDate => {
  if (content.reviewOn === null) return plan.reviewOn;
  if (content.reviewOn > plan.reviewOn)
    throw badField("/reviewOn", `must be on or before ${dayText(plan.reviewOn)}`);
  return content.reviewOn;
};

/** Last day of the course. */
export const endOf = (content: Pick<CourseContent, "steps" | "startOn">): LocalDate =>
  addDays(content.startOn, lastDayOf(content.steps) - 1);

/** @throws Problem naming each warning that has no written reason. */
export const assertReasons = (
  findings: readonly Finding[],
  overrides: readonly Override[],
): void => {
  const missing = missingReasons(findings, overrides);
  if (missing.length > 0)
    throw ruleViolated(
      `Write your reason for each warning first: ${missing.map((one) => one.detail).join(" ")}`,
      findings,
    );
};

/** An old weight stops a new course; one that runs is reminded of a weighing elsewhere. */
const NEW_COURSES_ONLY = "medication/weight-age@1";

/**
 * What the rules say about the doses of a signed course that are still to come, at the clock and
 * weight of now: asked before a hold is lifted, at each review and before a shift (`asPlanned`).
 */
export const judgeRemaining = (
  medication: HorseMedication,
  course: CourseRow,
  asPlanned: Course = toCourse(course),
): readonly Finding[] => {
  const context = {
    ...medication.context,
    courses: medication.context.courses.map((one) => (one.id === asPlanned.id ? asPlanned : one)),
  };
  const steps = remainingSteps(asPlanned, context.doses, context.atMs);
  if (steps.length === 0) return [];
  const hasBegun = context.doses.some((dose) => dose.courseId === course.id);
  const judged = judgeCourse(
    {
      ...requestOf({ ...course, steps, restartsSeries: course.restartsSeries && !hasBegun }),
      supersedesCourseId: course.id,
    },
    context,
  );
  const newest = context.weights.at(-1);
  const weighed =
    newest === undefined
      ? []
      : onNewWeight({ ...context, weights: context.weights.slice(0, -1) }, newest);
  const atWeight =
    "courses" in weighed
      ? weighed.findings.filter((_, index) => weighed.courses[index]?.courseId === course.id)
      : [];
  return [
    ...judged.findings.map((finding): Finding =>
      finding.rule === NEW_COURSES_ONLY && finding.outcome === "block"
        ? { ...finding, outcome: "warn" }
        : finding,
    ),
    ...atWeight.filter((finding) => finding.outcome === "block"),
  ];
};

/** The latest day a review made now may name. */
export const latestNextReview = (medication: HorseMedication, course: CourseRow): LocalDate => {
  const { context } = medication;
  const seen = toCourse(course);
  return nextReviewOn(
    { ...seen, reviewedAtMs: [...(seen.reviewedAtMs ?? []), context.atMs] },
    context,
  );
};
