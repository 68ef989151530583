import type { draftCourse } from "@heelward/contracts";
import type { z } from "zod";
import type { CourseRow } from "./store.ts";

export type NewCourse = z.output<NonNullable<typeof draftCourse.body>>;

/** What a vet decides about a course, before and after it is stored. */
export type CourseContent = Pick<
  CourseRow,
  | "drugKey"
  | "presentationKey"
  | "route"
  | "steps"
  | "startOn"
  | "instructions"
  | "reviewOn"
  | "continuesFromDay"
  | "restartsSeries"
  | "vetSetsSchedule"
  | "hydrationRecorded"
  | "recheckOn"
  | "replacesCourseId"
>;

/** The content of a stored course, without what happened to it since. */
export const contentOf = (row: CourseContent): CourseContent => ({
  drugKey: row.drugKey,
  presentationKey: row.presentationKey,
  route: row.route,
  steps: row.steps,
  startOn: row.startOn,
  instructions: row.instructions,
  reviewOn: row.reviewOn,
  continuesFromDay: row.continuesFromDay,
  restartsSeries: row.restartsSeries,
  vetSetsSchedule: row.vetSetsSchedule,
  hydrationRecorded: row.hydrationRecorded,
  recheckOn: row.recheckOn,
  replacesCourseId: row.replacesCourseId,
});
