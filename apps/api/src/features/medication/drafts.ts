import type { CourseView } from "@heelward/contracts";
import type { Work } from "../../http/work.ts";
import { readMedication } from "./context.ts";
import { contentOf } from "./course-content.ts";
import { judgeContent } from "./judge.ts";
import * as store from "./store.ts";
import { courseView, planJson } from "./views.ts";

/** A course nobody has signed, with what the rules say of it at this moment. */
export interface DraftCourse {
  readonly course: CourseView;
  readonly draftedAt: Date;
  /** The newest weighing that is no estimate. */
  readonly weighedAt: Date | null;
}

/** Every drafted course in sight, oldest first. */
export const draftCourses = async (work: Work): Promise<readonly DraftCourse[]> => {
  const rows = await store.findCourses(work.tx, { statuses: ["draft"] });
  const drafts: DraftCourse[] = [];
  for (const row of rows.toReversed()) {
    // oxlint-disable-next-line no-await-in-loop -- one connection, and drafts are few
    const medication = await readMedication(work, row.horseId);
    const { judged, plan } = judgeContent(medication, contentOf(row), row.id);
    const weighed = medication.context.weights.findLast(
      (one) => one.method !== "estimate" && one.takenAtMs <= work.nowMs,
    );
    drafts.push({
      course: {
        ...courseView(row, work.nowMs),
        findings: [...judged.findings],
        plan: planJson(plan),
      },
      draftedAt: row.createdAt,
      weighedAt: weighed === undefined ? null : new Date(weighed.takenAtMs),
    });
  }
  return drafts;
};
