import type { LocalDate } from "../../time/index.ts";
import type { CoursePlan, CourseRequest } from "../build-course.ts";
import type { DoseToCount } from "../counted-doses.ts";
import type { Drug, Presentation } from "../formulary/types.ts";
import type { MedicationContext } from "../types.ts";

/** What every rule on a course may look at. */
export interface CourseFacts {
  readonly request: CourseRequest;
  readonly context: MedicationContext;
  readonly drug: Drug;
  readonly presentation: Presentation;
  readonly plan: CoursePlan;
  /** Given doses, doses to come of other open courses, and the doses in question. */
  readonly doses: readonly DoseToCount[];
  readonly today: LocalDate;
  readonly age: { readonly years: number; readonly days: number } | undefined;
}
