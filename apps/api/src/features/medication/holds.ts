import type { Finding } from "@heelward/domain/evidence";
import { ledger, type Hold } from "@heelward/domain/medication";
import { hasRole } from "../../http/actor.ts";
import { newId } from "../../http/new-id.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as handoffs from "../handoffs/service.ts";
import { practicePhone } from "../people/practice.ts";
import { asJson } from "./as-json.ts";
import type { HorseMedication } from "./context.ts";
import { momentText } from "./local-time.ts";
import type { CourseRow } from "./store.ts";
import { drugName } from "./views.ts";

/** Why and what to hold. */
export interface NewHold {
  readonly why: Hold["why"];
  readonly reason: string;
  readonly findings: readonly Finding[];
}

const clip = (text: string, length: number): string =>
  text.length <= length ? text : `${text.slice(0, length - 1)}…`;

/** Tells the vet at once when somebody else, or a rule, did something a vet must know. */
export const tellVet = async (
  work: Work,
  horse: { readonly id: string; readonly name: string },
  words: {
    readonly situation: string;
    readonly found: string;
    readonly mustDo: string;
    readonly urgent: boolean;
  },
): Promise<void> => {
  if (hasRole(work.actor, "vet")) return;
  await handoffs.write(work, {
    horseId: horse.id,
    toRole: "vet",
    urgent: words.urgent,
    situation: clip(`${horse.name}: ${words.situation}`, 200),
    found: clip(words.found, 400),
    mustDo: clip(words.mustDo, 400),
  });
};

/**
 * Holds courses: a row for each with why, the line in the timeline, the note to the yard and, when
 * it was not a vet, the note to the vet. A course already held for the same cause is left as it is.
 * The caller holds the lock on the horse.
 */
export const raiseHolds = async (
  work: Work,
  medication: HorseMedication,
  courses: readonly CourseRow[],
  hold: NewHold,
): Promise<string[]> => {
  const { tx, actor, nowMs } = work;
  const { horse, context } = medication;
  const fresh = courses.filter(
    (course) =>
      !context.holds.some(
        (one) =>
          one.courseId === course.id && one.why === hold.why && one.releasedAtMs === undefined,
      ),
  );
  if (fresh.length === 0) return [];
  for (const course of fresh) {
    const id = newId();
    // One after the other: each takes its place in the timeline and the audit chain.
    // oxlint-disable-next-line no-await-in-loop
    await tx.hold.create({
      data: {
        practiceId: actor.practiceId,
        id,
        horseId: horse.id,
        courseId: course.id,
        why: hold.why,
        reason: hold.reason,
        findings: asJson(hold.findings),
        raisedAt: new Date(nowMs),
        raisedBy: actor.personId,
        createdAt: new Date(nowMs),
      },
    });
    // oxlint-disable-next-line no-await-in-loop
    await tx.medicationCourse.updateMany({
      where: { id: course.id },
      data: { status: "held", version: { increment: 1 } },
    });
    work.audit({
      event: "course.held",
      subjectType: "medication course",
      subjectId: course.id,
      horseId: horse.id,
      payload: { holdId: id, why: hold.why, reason: hold.reason },
    });
    // oxlint-disable-next-line no-await-in-loop
    await recordEvent(work, {
      horseId: horse.id,
      caseId: course.caseId ?? horse.openCaseId,
      kind: "medicine",
      title: `${drugName(course.drugKey)} held: ${hold.why}`,
      detail: hold.reason,
      refType: "medication course",
      refId: course.id,
    });
  }
  const held = new Set(fresh.map((course) => course.id));
  const names = [...new Set(fresh.map((course) => drugName(course.drugKey)))].join(", ");
  const next = ledger(context).nextDue.find((slot) => held.has(slot.courseId));
  await handoffs.sendRequired(
    work,
    {
      horseId: horse.id,
      caseId: fresh[0]?.caseId ?? horse.openCaseId,
      refType: "medication course",
      ...(fresh[0] === undefined ? {} : { refId: fresh[0].id }),
    },
    {
      kind: "course held",
      horseName: horse.name,
      medicine: names,
      why: hold.reason,
      ringNumber: await practicePhone(work),
      ...(next === undefined ? {} : { nextDoseAt: momentText(next.atMs, horse.timeZone) }),
    },
  );
  await tellVet(work, horse, {
    situation: `${names} is on hold`,
    found: hold.reason,
    mustDo: "Look at the horse and the course: release it, or stop it and sign a new one",
    urgent: true,
  });
  work.announce("queue");
  return [...held];
};

/** Courses of a horse that may still bring a dose. */
export const openCourses = ({ courses }: HorseMedication): readonly CourseRow[] =>
  courses.filter((course) => course.status === "signed" || course.status === "held");
