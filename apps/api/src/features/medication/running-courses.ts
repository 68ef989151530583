import type { CourseView, reviewCourse } from "@heelward/contracts";
import { isAllowed } from "@heelward/domain/evidence";
import { dayText, localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import { dayColumn } from "../../http/dates.ts";
import { badField, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as handoffs from "../handoffs/service.ts";
import { asJson } from "./as-json.ts";
import { endCourse, lockCourse, noteCourse, signer } from "./course-lock.ts";
import { read } from "./courses.ts";
import { raiseHolds } from "./holds.ts";
import { judgeRemaining, latestNextReview } from "./judge.ts";
import { momentText } from "./local-time.ts";
import { refuse } from "./refusals.ts";
import type * as store from "./store.ts";
import { drugName, isOver } from "./views.ts";

type Review = z.output<NonNullable<typeof reviewCourse.body>>;

/** @throws Problem unless the course runs: signed, not held, not over. */
const assertRunning = (course: store.CourseRow, nowMs: number): void => {
  if (course.status === "draft")
    throw new Problem("conflict", "This course is not signed yet.", { recordId: course.id });
  if (course.status === "held")
    throw new Problem("conflict", "This course is on hold already.", { recordId: course.id });
  if (course.status !== "signed" || isOver(course, nowMs))
    throw new Problem("conflict", "This course is over.", { recordId: course.id });
};

/** The vet looked again and carries the course on; the next look may be sooner than the rules ask, never later. */
export const review = async (
  work: Work,
  id: string,
  seen: number,
  { reviewOn, reason }: Review,
): Promise<CourseView> => {
  const { course, medication } = await lockCourse(work, id, seen);
  assertRunning(course, work.nowMs);
  const by = signer(work);
  if (reviewOn <= localDateOf(work.nowMs, course.timeZone))
    throw badField("/reviewOn", "must lie after today");
  const latest = latestNextReview(medication, course);
  if (reviewOn > latest) throw badField("/reviewOn", `must be on or before ${dayText(latest)}`);
  const findings = judgeRemaining(medication, course);
  if (!isAllowed(findings))
    return refuse(work, {
      horseId: course.horseId,
      caseId: course.caseId,
      kind: "course review",
      request: { courseId: id, reviewOn, reason },
      findings,
      title: `Refused: ${drugName(course.drugKey)} to be carried on`,
    });
  const at = new Date(work.nowMs).toISOString();
  const document = work.signer.seal(
    asJson({
      meaning: "reviewed the medication course and carries it on",
      courseId: id,
      horseId: course.horseId,
      courseSignature: course.signature,
      reviewOn,
      reason,
      findings,
      signer: by,
      signedAt: at,
    }),
  );
  const entry: store.StoredReview = {
    at,
    by: { id: work.actor.personId, name: work.actor.name },
    reviewOn,
    reason,
    signedText: document.text,
    signature: document.signature,
    keyId: work.signer.keyId,
  };
  await work.tx.medicationCourse.updateMany({
    where: { id },
    data: {
      reviewOn: dayColumn(reviewOn),
      reviews: asJson([...course.reviews, entry]),
      version: seen + 1,
    },
  });
  await noteCourse(
    work,
    course,
    "reviewed",
    { title: `${drugName(course.drugKey)} reviewed, next by ${dayText(reviewOn)}`, detail: reason },
    { reviewOn, reason, signature: document.signature },
  );
  return read(work, id);
};

/** Holds a course at once, whoever asks; the rules need no reason to stop. */
export const hold = async (
  work: Work,
  id: string,
  seen: number,
  reason: string,
): Promise<CourseView> => {
  const { course, medication } = await lockCourse(work, id, seen);
  assertRunning(course, work.nowMs);
  await raiseHolds(work, medication, [course], { why: "vet", reason, findings: [] });
  return read(work, id);
};

/** A vet lifts every hold of a course, if the rules still allow what is to come. */
export const release = async (
  work: Work,
  id: string,
  seen: number,
  reason: string,
): Promise<CourseView> => {
  const { tx, actor, nowMs } = work;
  const { course, medication } = await lockCourse(work, id, seen);
  if (course.status !== "held")
    throw new Problem("conflict", "This course is not on hold.", { recordId: id });
  const by = signer(work);
  const findings = judgeRemaining(medication, course);
  if (!isAllowed(findings))
    return refuse(work, {
      horseId: course.horseId,
      caseId: course.caseId,
      kind: "course release",
      request: { courseId: id, reason },
      findings,
      title: `Refused: ${drugName(course.drugKey)} to be released`,
    });
  const document = work.signer.seal(
    asJson({
      meaning: "releases the held medication course",
      courseId: id,
      horseId: course.horseId,
      courseSignature: course.signature,
      reason,
      findings,
      signer: by,
      signedAt: new Date(nowMs).toISOString(),
    }),
  );
  await tx.hold.updateMany({
    where: { courseId: id, releasedAt: null },
    data: {
      releasedAt: new Date(nowMs),
      releasedBy: actor.personId,
      releaseReason: reason,
      version: { increment: 1 },
    },
  });
  await tx.medicationCourse.updateMany({
    where: { id },
    data: { status: "signed", version: seen + 1 },
  });
  work.audit({
    event: "course.released",
    subjectType: "medication course",
    subjectId: id,
    horseId: course.horseId,
    payload: { reason, signature: document.signature },
  });
  await recordEvent(work, {
    horseId: course.horseId,
    caseId: course.caseId,
    kind: "medicine",
    title: `${drugName(course.drugKey)} released`,
    detail: reason,
    refType: "medication course",
    refId: id,
    data: {
      signedText: document.text,
      signature: document.signature,
      keyId: work.signer.keyId,
    },
  });
  await handoffs.write(work, {
    horseId: course.horseId,
    toRole: "carer",
    urgent: false,
    situation: `${course.horse.name}: ${drugName(course.drugKey)} may be given again`.slice(0, 200),
    mustDo: `Carry on with the list from ${momentText(nowMs, course.timeZone)}; never make up for doses left out`,
  });
  work.announce("queue");
  return read(work, id);
};

/** Stops a course for good, or withdraws a draft; the yard is told. */
export const stop = async (
  work: Work,
  id: string,
  seen: number,
  reason: string,
): Promise<CourseView> => {
  const { course } = await lockCourse(work, id, seen);
  if (course.status === "stopped" || isOver(course, work.nowMs))
    throw new Problem("conflict", "This course is over.", { recordId: id });
  await endCourse(work, course, reason);
  if (course.status !== "draft")
    await handoffs.write(work, {
      horseId: course.horseId,
      toRole: "carer",
      urgent: true,
      situation: `${course.horse.name}: ${drugName(course.drugKey)} is stopped`.slice(0, 200),
      mustDo: `Give no more ${drugName(course.drugKey)}: ${reason}`.slice(0, 400),
    });
  return read(work, id);
};
