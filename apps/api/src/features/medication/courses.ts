import type {
  changeCourse,
  CourseView,
  judgeCourseDraft,
  reviewCourse,
  signCourse,
} from "@heelward/contracts";
import { isAllowed } from "@heelward/domain/evidence";
import { drugOf, FORMULARY_EDITION, presentationOf } from "@heelward/domain/medication";
import { localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { dayColumn } from "../../http/dates.ts";
import { defined } from "../../http/defined.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import { readOpen } from "../cases/service.ts";
import * as handoffs from "../handoffs/service.ts";
import { asJson } from "./as-json.ts";
import { readMedication, type HorseMedication } from "./context.ts";
import { contentOf, type CourseContent, type NewCourse } from "./course-content.ts";
import { openCourses, raiseHolds } from "./holds.ts";
import {
  assertContent,
  assertReasons,
  endOf,
  judgeContent,
  judgeRemaining,
  latestNextReview,
  reviewDay,
} from "./judge.ts";
import { localTimeText } from "./local-time.ts";
import { refuse } from "./refusals.ts";
import * as store from "./store.ts";
import { courseView, drugName, isOver, planJson } from "./views.ts";

type Draft = z.output<NonNullable<typeof judgeCourseDraft.body>>;
type Change = z.output<NonNullable<typeof changeCourse.body>>;
type Signing = z.output<NonNullable<typeof signCourse.body>>;
type Review = z.output<NonNullable<typeof reviewCourse.body>>;

const find = async ({ tx }: Work, id: string): Promise<store.CourseRow> => {
  const [row] = await store.findCourses(tx, { id, limit: 1 });
  if (row === undefined) throw notFound("course");
  return row;
};

export const read = async (work: Work, id: string): Promise<CourseView> => {
  const row = await find(work, id);
  return courseView(row, work.nowMs, await readMedication(work, row.horseId));
};

export const list = async (
  work: Work,
  horseId: string,
  query: { readonly limit: number; readonly cursor?: string | undefined },
) => {
  if ((await store.findHorses(work.tx, { ids: [horseId] })).length === 0) throw notFound("horse");
  const after = decodeCursor(query.cursor, 2);
  const found = await store.findCourses(work.tx, {
    horseIds: [horseId],
    after,
    limit: query.limit + 1,
  });
  const { rows, nextCursor } = toPage(found, query.limit, (row) => [
    row.createdAt.toISOString(),
    row.id,
  ]);
  return { items: rows.map((row) => courseView(row, work.nowMs)), nextCursor };
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
const lock = async (work: Work, id: string, seen: number) => {
  const before = await find(work, id);
  const medication = await lockTreatable(work, before.horseId, before.caseId);
  const course = await find(work, id);
  assertVersion(seen, course.version);
  return { course, medication };
};

const sealed = (course: store.CourseRow): Problem =>
  new Problem(
    "record-sealed",
    course.status === "stopped"
      ? "This course was stopped; draft a new one."
      : "A signed course never changes: stop it and sign a new one.",
    { recordId: course.id },
  );

const note = async (
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

/** Checks a course on paper; nothing is stored. */
export const judge = async (work: Work, horseId: string, input: Draft) => {
  const medication = await readMedication(work, horseId);
  assertContent(medication, input);
  const { judged, plan } = judgeContent(medication, input);
  return {
    findings: [...judged.findings],
    plan: planJson(plan),
    allowed: judged.ok,
  };
};

/** The columns of a course whose rules allow it; a blocked one is refused and kept as refused. */
const judgedColumns = (
  work: Work,
  medication: HorseMedication,
  caseId: string | null,
  content: CourseContent,
  kind: "course draft" | "course signature",
  id?: string,
) => {
  assertContent(medication, content);
  const { judged } = judgeContent(medication, content, id);
  if (!judged.ok)
    return refuse(work, {
      horseId: medication.horse.id,
      caseId,
      kind,
      request: content,
      findings: judged.findings,
      title: `Refused: ${drugName(content.drugKey)}`,
    });
  const plan = judged.value;
  const { weight } = plan;
  if (weight === undefined) throw new Error("a course without a weight was allowed");
  return {
    plan,
    findings: judged.findings,
    columns: {
      weightKg: weight.weightKg,
      weightLowKg: weight.lowKg,
      weightHighKg: weight.highKg,
      weightMethod: weight.method,
      endOn: dayColumn(endOf(content)),
      findings: asJson(judged.findings),
    },
  };
};

const contentColumns = (content: CourseContent) => ({
  drugKey: content.drugKey,
  presentationKey: content.presentationKey,
  route: content.route,
  steps: asJson(content.steps),
  startOn: dayColumn(content.startOn),
  instructions: content.instructions,
  reviewOn: content.reviewOn === null ? null : dayColumn(content.reviewOn),
  continuesFromDay: content.continuesFromDay,
  restartsSeries: content.restartsSeries,
  vetSetsSchedule: content.vetSetsSchedule,
  hydrationRecorded: content.hydrationRecorded,
  recheckOn: content.recheckOn === null ? null : dayColumn(content.recheckOn),
  replacesId: content.replacesCourseId,
});

/** Drafts a course. Nothing is given from a draft. */
export const draft = async (
  work: Work,
  horseId: string,
  { reason, ...content }: NewCourse,
): Promise<CourseView> => {
  const { tx, actor, nowMs } = work;
  const [horse] = await store.findHorses(tx, { ids: [horseId] });
  const medication = await lockTreatable(work, horseId, horse?.openCaseId ?? null);
  const caseId = medication.horse.openCaseId;
  const { plan, columns } = judgedColumns(work, medication, caseId, content, "course draft");
  reviewDay(content, plan);
  const id = newId();
  await tx.medicationCourse.create({
    data: {
      ...contentColumns(content),
      ...columns,
      practiceId: actor.practiceId,
      id,
      horseId,
      caseId,
      timeZone: medication.horse.timeZone,
      status: "draft",
      reason: reason ?? null,
      draftedBy: actor.personId,
      createdAt: new Date(nowMs),
    },
  });
  await note(
    work,
    await find(work, id),
    "drafted",
    { title: `${drugName(content.drugKey)} drafted`, detail: reason ?? null },
    content,
  );
  return read(work, id);
};

export const change = async (
  work: Work,
  id: string,
  seen: number,
  input: Change,
): Promise<CourseView> => {
  const { course, medication } = await lock(work, id, seen);
  if (course.status !== "draft") throw sealed(course);
  const content: CourseContent = { ...contentOf(course), ...defined(input) };
  const { plan, columns } = judgedColumns(
    work,
    medication,
    course.caseId,
    content,
    "course draft",
    id,
  );
  reviewDay(content, plan);
  await work.tx.medicationCourse.updateMany({
    where: { id },
    data: { ...contentColumns(content), ...columns, version: seen + 1 },
  });
  await note(
    work,
    course,
    "changed",
    { title: `${drugName(content.drugKey)} draft changed`, detail: null },
    input,
  );
  return read(work, id);
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

const signer = (work: Work) => ({
  id: work.actor.personId,
  name: work.actor.name,
  registration: registration(work),
});

/**
 * Signs a draft. Judged again under the lock on the horse, at the clock, weight, passport and doses
 * of this moment, so that a draft that was allowed once, or two signatures at once, pass nothing.
 */
export const sign = async (
  work: Work,
  id: string,
  seen: number,
  { overrides, noteToYard }: Signing,
): Promise<CourseView> => {
  const { tx, actor, nowMs } = work;
  const { course, medication } = await lock(work, id, seen);
  if (course.status !== "draft") throw sealed(course);
  const by = signer(work);
  if (course.startOn < localDateOf(nowMs, course.timeZone))
    throw new Problem(
      "conflict",
      "Its first day has passed since it was drafted; change the draft.",
      {
        recordId: id,
      },
    );
  const replaced = openCourses(medication).find((one) => one.id === course.replacesCourseId);
  const content = { ...contentOf(course), replacesCourseId: replaced?.id ?? null };
  const { plan, findings, columns } = judgedColumns(
    work,
    medication,
    course.caseId,
    content,
    "course signature",
    id,
  );
  assertReasons(findings, overrides);
  const leadAsked = findings.find((finding) =>
    finding.rule.startsWith("medication/pergolide-lead"),
  );
  if (leadAsked !== undefined && !actor.clinicalLead)
    throw new Problem("forbidden", `The clinical lead signs this: ${leadAsked.detail}`);
  const reviewOn =
    content.reviewOn !== null && content.reviewOn < plan.reviewOn
      ? content.reviewOn
      : plan.reviewOn;
  const drug = drugOf(content.drugKey);
  const document = work.signer.seal(
    asJson({
      meaning: "signs the medication course",
      courseId: id,
      horseId: course.horseId,
      caseId: course.caseId,
      drug: {
        key: content.drugKey,
        name: drugName(content.drugKey),
        presentation: content.presentationKey,
        presentationName:
          drug === undefined ? null : presentationOf(drug, content.presentationKey)?.name,
        route: content.route,
      },
      formulary: FORMULARY_EDITION,
      steps: content.steps,
      startOn: content.startOn,
      endOn: endOf(content),
      timeZone: course.timeZone,
      instructions: content.instructions,
      reviewOn,
      continuesFromDay: content.continuesFromDay,
      restartsSeries: content.restartsSeries,
      vetSetsSchedule: content.vetSetsSchedule,
      hydrationRecorded: content.hydrationRecorded,
      recheckOn: content.recheckOn,
      replacesCourseId: content.replacesCourseId,
      weight: plan.weight,
      findings,
      overrides,
      signer: by,
      signedAt: new Date(nowMs).toISOString(),
    }),
  );
  if (replaced !== undefined) await endCourse(work, replaced, "replaced by a new course");
  await tx.medicationCourse.updateMany({
    where: { id },
    data: {
      ...columns,
      status: "signed",
      overrides: asJson(overrides),
      reviewOn: dayColumn(reviewOn),
      signedBy: actor.personId,
      signedAt: new Date(nowMs),
      signedText: document.text,
      signature: document.signature,
      signingKeyId: work.signer.keyId,
      version: seen + 1,
    },
  });
  await note(
    work,
    course,
    "signed",
    {
      title: `${drugName(content.drugKey)} signed`,
      detail: `${plan.steps.map((step) => step.measure).join(", then ")}; review by ${reviewOn}`,
      forOwner: `The vet prescribed ${drugName(content.drugKey)}.`,
    },
    { signature: document.signature, overrides, reviewOn },
  );
  if (noteToYard !== undefined)
    await handoffs.write(work, {
      horseId: course.horseId,
      toRole: "carer",
      urgent: false,
      situation: `${course.horse.name}: ${drugName(content.drugKey)} from ${content.startOn}`.slice(
        0,
        200,
      ),
      mustDo: noteToYard.slice(0, 400),
    });
  return read(work, id);
};

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
  const { course, medication } = await lock(work, id, seen);
  assertRunning(course, work.nowMs);
  const by = signer(work);
  if (reviewOn <= localDateOf(work.nowMs, course.timeZone))
    throw badField("/reviewOn", "must lie after today");
  const latest = latestNextReview(medication, course);
  if (reviewOn > latest) throw badField("/reviewOn", `must be on or before ${latest}`);
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
  await note(
    work,
    course,
    "reviewed",
    { title: `${drugName(course.drugKey)} reviewed, next by ${reviewOn}`, detail: reason },
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
  const { course, medication } = await lock(work, id, seen);
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
  const { course, medication } = await lock(work, id, seen);
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
    mustDo: `Carry on with the list from ${localTimeText(nowMs, course.timeZone)}; never make up for doses left out`,
  });
  work.announce("queue");
  return read(work, id);
};

const endCourse = async (work: Work, course: store.CourseRow, reason: string): Promise<void> => {
  await work.tx.medicationCourse.updateMany({
    where: { id: course.id },
    data: {
      status: "stopped",
      stoppedAt: new Date(work.nowMs),
      stopReason: reason,
      version: course.version + 1,
    },
  });
  await note(
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

/** Stops a course for good, or withdraws a draft; the yard is told. */
export const stop = async (
  work: Work,
  id: string,
  seen: number,
  reason: string,
): Promise<CourseView> => {
  const { course } = await lock(work, id, seen);
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
