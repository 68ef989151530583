import type { Finding } from "@heelward/domain/evidence";
import { onNewWeight } from "@heelward/domain/medication";
import type { Work } from "../../http/work.ts";
import { lockMedication } from "./context.ts";
import { openCourses, raiseHolds } from "./holds.ts";
import { isOver } from "./views.ts";

/**
 * Judges every open course again the moment a weight is saved, inside the weighing's transaction,
 * and holds what its new mg/kg or the fall of weight no longer allows. `messages` is one line for
 * the person at the scale, or nothing when no course runs.
 */
export const recheckCoursesAfterWeighing = async (
  work: Work,
  horseId: string,
): Promise<{ heldCourseIds: string[]; messages: string[] }> => {
  const medication = await lockMedication(work, horseId);
  const { context } = medication;
  const open = openCourses(medication).filter((course) => !isOver(course, work.nowMs));
  const newest = context.weights.at(-1);
  if (open.length === 0 || newest === undefined) return { heldCourseIds: [], messages: [] };
  const review = onNewWeight({ ...context, weights: context.weights.slice(0, -1) }, newest);
  const held: string[] = [];
  for (const judged of review.courses) {
    const course = open.find((one) => one.id === judged.courseId);
    if (judged.action !== "hold" || course === undefined) continue;
    // Each hold has its own reason, so each is written on its own.
    // oxlint-disable-next-line no-await-in-loop
    const raised = await raiseHolds(work, medication, [course], {
      why: "weight",
      reason: judged.text,
      findings: review.findings.filter((finding) => finding.detail === judged.text),
    });
    held.push(...raised);
  }
  return { heldCourseIds: held, messages: [review.line] };
};

/** Holds every course that runs, at once: what a red flag seen in the yard asks for. */
export const holdRunningCourses = async (
  work: Work,
  horseId: string,
  reason: string,
  findings: readonly Finding[],
): Promise<string[]> => {
  const medication = await lockMedication(work, horseId);
  const running = openCourses(medication).filter((course) => !isOver(course, work.nowMs));
  return raiseHolds(work, medication, running, { why: "red flag", reason, findings });
};
