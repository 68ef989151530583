import type { Finding } from "@heelward/domain/evidence";
import { onNewWeight } from "@heelward/domain/medication";
import type { Work } from "../../http/work.ts";
import { lockMedication, readMedication, type HorseMedication } from "./context.ts";
import { openCourses, raiseHolds } from "./holds.ts";
import { judgeRemaining } from "./judge.ts";
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

/** Rules whose warning stops a course until a vet has written why it goes on. */
const STOPS_WITH_WARNING: readonly string[] = ["medication/steroid@1"];

const stops = (finding: Finding): boolean =>
  finding.outcome === "block" ||
  (finding.outcome === "warn" && STOPS_WITH_WARNING.includes(finding.rule));

/**
 * Judges every running course again after something about the animal changed: a condition, a
 * pregnancy, another medicine. Only what the change itself brings holds a course; what stood before
 * stands as it did. `before` is the animal as read, under the lock, ahead of the change.
 */
export const recheckCoursesAfterChange = async (
  work: Work,
  before: HorseMedication,
  what: string,
): Promise<string[]> => {
  const after = await readMedication(work, before.horse.id);
  const running = openCourses(after).filter((course) => !isOver(course, work.nowMs));
  const held: string[] = [];
  for (const course of running) {
    const known = new Set(
      judgeRemaining(before, course)
        .filter(stops)
        .map((finding) => `${finding.rule} ${finding.detail}`),
    );
    const fresh = judgeRemaining(after, course).filter(
      (finding) => stops(finding) && !known.has(`${finding.rule} ${finding.detail}`),
    );
    if (fresh.length === 0) continue;
    // Each hold has its own reason, so each is written on its own.
    // oxlint-disable-next-line no-await-in-loop
    const raised = await raiseHolds(work, after, [course], {
      why: "condition",
      reason: `${what}: ${fresh.map((finding) => finding.detail).join(" ")}`,
      findings: fresh,
    });
    held.push(...raised);
  }
  return held;
};
