import { notFound, Problem } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import { readOpen } from "../cases/service.ts";
import { readMedication, type HorseMedication } from "./context.ts";
import { finishCourses } from "./finish-courses.ts";
import * as store from "./store.ts";
import { drugName } from "./views.ts";

/** A course as stored. @throws Problem when it is not there or not to be seen. */
export const findCourse = async ({ tx }: Work, id: string): Promise<store.CourseRow> => {
  const [row] = await store.findCourses(tx, { id, limit: 1 });
  if (row === undefined) throw notFound("course");
  return row;
};

/** The horse, locked, and only while it and its case may still be treated. */
export const lockTreatable = async (
  work: Work,
  horseId: string,
  caseId: string | null,
): Promise<HorseMedication> => {
  const [horse] = await store.findHorses(work.tx, { ids: [horseId] });
  if (horse === undefined) throw notFound("horse");
  const shared = caseId ?? horse.openCaseId;
  // The case before the horse, as closing a case takes them.
  if (shared !== null) await store.shareCase(work.tx, shared);
  await store.lockHorse(work.tx, horseId);
  if (caseId !== null) await readOpen(work, caseId);
  await finishCourses(work, horseId);
  const medication = await readMedication(work, horseId);
  if (medication.horse.status !== "active")
    throw new Problem(
      "record-sealed",
      medication.horse.status === "died"
        ? `${horse.name} has died; the record is closed.`
        : `${horse.name} is no longer looked after here; the record is closed.`,
      { recordId: horseId },
    );
  return medication;
};

/** A course for a change: the horse locked, the version checked, read again under the lock. */
export const lockCourse = async (work: Work, id: string, seen: number) => {
  const before = await findCourse(work, id);
  const medication = await lockTreatable(work, before.horseId, before.caseId);
  const course = await findCourse(work, id);
  assertVersion(seen, course.version);
  return { course, medication };
};

/** Writes what happened to a course into the audit chain and the timeline. */
export const noteCourse = async (
  work: Work,
  course: store.CourseRow,
  event: string,
  line: { readonly title: string; readonly detail: string | null; readonly forOwner?: string },
  payload: unknown,
): Promise<void> => {
  work.audit({
    event: `course.${event}`,
    subjectType: "medication course",
    subjectId: course.id,
    horseId: course.horseId,
    payload,
  });
  await recordEvent(work, {
    horseId: course.horseId,
    caseId: course.caseId,
    kind: "medicine",
    refType: "medication course",
    refId: course.id,
    ...line,
  });
  work.announce("queue");
};

/** The registration number that stands under a signature. */
const registration = ({ actor }: Work): string => {
  if (actor.registrationNumber === null)
    throw new Problem(
      "forbidden",
      "Your registration number is not on file; without it nothing can be signed.",
    );
  return actor.registrationNumber;
};

/** Who signs, as the signature names them. */
export const signer = (work: Work) => ({
  id: work.actor.personId,
  name: work.actor.name,
  registration: registration(work),
});

/** Ends a course for good. */
export const endCourse = async (
  work: Work,
  course: store.CourseRow,
  reason: string,
): Promise<void> => {
  await work.tx.medicationCourse.updateMany({
    where: { id: course.id },
    data: {
      status: "stopped",
      stoppedAt: new Date(work.nowMs),
      stopReason: reason,
      version: course.version + 1,
    },
  });
  await noteCourse(
    work,
    course,
    "stopped",
    {
      title: `${drugName(course.drugKey)} ${course.status === "draft" ? "draft withdrawn" : "stopped"}`,
      detail: reason,
      ...(course.status === "draft"
        ? {}
        : { forOwner: `The vet stopped ${drugName(course.drugKey)}.` }),
    },
    { reason },
  );
};
