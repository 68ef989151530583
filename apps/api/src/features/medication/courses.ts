import type { changeCourse, CourseView, judgeCourseDraft, signCourse } from "@heelward/contracts";
import { drugOf, FORMULARY_EDITION, presentationOf } from "@heelward/domain/medication";
import { dayText, localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { dayColumn } from "../../http/dates.ts";
import { defined } from "../../http/defined.ts";
import { newId } from "../../http/new-id.ts";
import { notFound, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import * as handoffs from "../handoffs/service.ts";
import { asJson } from "./as-json.ts";
import { readMedication, type HorseMedication } from "./context.ts";
import { contentOf, type CourseContent, type NewCourse } from "./course-content.ts";
import {
  endCourse,
  findCourse,
  lockCourse,
  lockTreatable,
  noteCourse,
  signer,
} from "./course-lock.ts";
import { openCourses } from "./holds.ts";
import { assertContent, assertReasons, endOf, judgeContent, reviewDay } from "./judge.ts";
import { refuse } from "./refusals.ts";
import * as store from "./store.ts";
import { courseView, drugName, planJson } from "./views.ts";

type Draft = z.output<NonNullable<typeof judgeCourseDraft.body>>;
type Change = z.output<NonNullable<typeof changeCourse.body>>;
type Signing = z.output<NonNullable<typeof signCourse.body>>;

export const read = async (work: Work, id: string): Promise<CourseView> => {
  const row = await findCourse(work, id);
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

const sealed = (course: store.CourseRow): Problem =>
  new Problem(
    "record-sealed",
    course.status === "stopped"
      ? "This course was stopped; draft a new one."
      : "A signed course never changes: stop it and sign a new one.",
    { recordId: course.id },
  );

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
  await noteCourse(
    work,
    await findCourse(work, id),
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
  const { course, medication } = await lockCourse(work, id, seen);
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
  await noteCourse(
    work,
    course,
    "changed",
    { title: `${drugName(content.drugKey)} draft changed`, detail: null },
    input,
  );
  return read(work, id);
};

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
  const { course, medication } = await lockCourse(work, id, seen);
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
  await noteCourse(
    work,
    course,
    "signed",
    {
      title: `${drugName(content.drugKey)} signed`,
      detail: `${plan.steps.map((step) => step.measure).join(", then ")}; review by ${dayText(reviewOn)}`,
      forOwner: `The vet prescribed ${drugName(content.drugKey)}.`,
    },
    { signature: document.signature, overrides, reviewOn },
  );
  if (noteToYard !== undefined)
    await handoffs.write(work, {
      horseId: course.horseId,
      toRole: "carer",
      urgent: false,
      situation:
        `${course.horse.name}: ${drugName(content.drugKey)} from ${dayText(content.startOn)}`.slice(
          0,
          200,
        ),
      mustDo: noteToYard.slice(0, 400),
    });
  return read(work, id);
};
