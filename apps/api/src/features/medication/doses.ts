import type { DoseRecord, recordDose, recordSingleDose } from "@heelward/contracts";
import {
  counts,
  drugOf,
  judgeDose,
  ledger,
  slotsOf,
  weightInForce,
  type Course,
  type DoseEvent,
  type DoseJudgement,
  type MedicationContext,
  type Slot,
} from "@heelward/domain/medication";
import type { Finding, Judged } from "@heelward/domain/evidence";
import { daysBetween, dayText, localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import { actingAs } from "../../http/actor.ts";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { assertNotFuture } from "../../http/instants.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import { asJson } from "./as-json.ts";
import { readMedication, toCourse, type HorseMedication } from "./context.ts";
import { lockTreatable } from "./course-lock.ts";
import { stopsWithoutReview } from "./dose-day.ts";
import { tellVet } from "./holds.ts";
import { assertReasons } from "./judge.ts";
import { momentText } from "./local-time.ts";
import { refuse } from "./refusals.ts";
import * as store from "./store.ts";
import { doseView, drugName, measureOf } from "./views.ts";

type NewDose = z.output<NonNullable<typeof recordDose.body>>;
type SingleDose = z.output<NonNullable<typeof recordSingleDose.body>>;

export const list = async (
  work: Work,
  horseId: string,
  query: { readonly limit: number; readonly cursor?: string | undefined },
) => {
  if ((await store.findHorses(work.tx, { ids: [horseId] })).length === 0) throw notFound("horse");
  const after = decodeCursor(query.cursor, 2);
  const found = await store.findDoses(work.tx, {
    horseIds: [horseId],
    after,
    limit: query.limit + 1,
  });
  const { rows, nextCursor } = toPage(found, query.limit, (row) => [
    row.givenAt.toISOString(),
    row.id,
  ]);
  return { items: rows.map(doseView), nextCursor };
};

/**
 * The planned dose of a time. A phone that was offline while the vet shifted the course still names
 * the time from before: it means the same dose at its new time.
 */
const slotAt = (course: Course, atMs: number): Slot | undefined => {
  const day = daysBetween(course.startOn, localDateOf(atMs, course.zone)) + 1;
  const slots = slotsOf(course, day, day);
  const found = slots.find((slot) => slot.atMs === atMs);
  if (found !== undefined || (course.shifts ?? []).length === 0) return found;
  const before = slotAt({ ...course, shifts: course.shifts?.slice(0, -1) }, atMs);
  return slots.find((slot) => slot.signedTimeLocal === before?.signedTimeLocal);
};

const roleOf = (work: Work): string => actingAs(work.actor, ["vet", "carer"]);

/** One record for each planned dose: a second person is told who was first and when. */
const assertFirst = (
  medication: HorseMedication,
  course: store.CourseRow,
  slot: Slot,
  outcome: DoseEvent["outcome"],
): void => {
  const twin = medication.doses.find(
    (dose) =>
      dose.courseId === course.id &&
      dose.scheduledAt?.getTime() === slot.atMs &&
      (counts(dose) || dose.outcome === outcome),
  );
  if (twin !== undefined)
    throw new Problem(
      "conflict",
      `${twin.givenBy.name} recorded the ${slot.timeLocal} dose as ${twin.outcome} at ${momentText(twin.givenAt.getTime(), course.timeZone)}. Never give it twice.`,
      { recordId: twin.id },
    );
};

/** A review the vet set sooner than the rules ask stops pain medicines as well. */
const ownReview = (course: store.CourseRow, givenAtMs: number): readonly Finding[] => {
  const source = drugOf(course.drugKey)?.review.source;
  if (
    source === undefined ||
    course.reviewOn === null ||
    !stopsWithoutReview(course.drugKey) ||
    localDateOf(givenAtMs, course.timeZone) <= course.reviewOn
  )
    return [];
  return [
    {
      rule: "medication/needs-vet@1",
      outcome: "block",
      detail: `Needs vet: the review was due by ${dayText(course.reviewOn)} and nobody has signed.`,
      source,
      field: "/courseId",
    },
  ];
};

const withFindings = (
  judged: Judged<DoseJudgement>,
  more: readonly Finding[],
  alreadyGiven: boolean,
): Judged<DoseJudgement> => {
  const known = new Set(judged.findings.map((finding) => finding.rule));
  const added = more.filter((finding) => !known.has(finding.rule));
  if (added.length === 0) return judged;
  if (!judged.ok || !alreadyGiven) return { ok: false, findings: [...judged.findings, ...added] };
  return {
    ok: true,
    value: { ...judged.value, breach: true },
    findings: [...judged.findings, ...added.map((one): Finding => ({ ...one, outcome: "warn" }))],
  };
};

/** The course as it stood when the dose went in: a stop or its own end afterwards does not unmake the dose. */
const asOf = (course: store.CourseRow, givenAtMs: number): Course => {
  const stored = toCourse(course);
  const ranUntilThen =
    course.status === "finished" ||
    (course.status === "stopped" &&
      course.signedAt !== null &&
      course.stoppedAt !== null &&
      givenAtMs < course.stoppedAt.getTime());
  return ranUntilThen ? { ...stored, status: "signed" } : stored;
};

const write = async (
  work: Work,
  medication: HorseMedication,
  dose: DoseEvent,
  batch: string | undefined,
  findings: readonly Finding[],
): Promise<void> => {
  await work.tx.doseRecord.create({
    data: {
      practiceId: work.actor.practiceId,
      id: dose.id,
      horseId: medication.horse.id,
      courseId: dose.courseId ?? null,
      drugKey: dose.drugKey,
      presentationKey: dose.presentationKey ?? null,
      route: dose.route,
      doseMg: dose.doseMg,
      // The unique index over course and slot is the last guard against a dose given twice.
      slot:
        dose.scheduledAtMs !== undefined && counts(dose)
          ? new Date(dose.scheduledAtMs).toISOString()
          : null,
      scheduledAt: dose.scheduledAtMs === undefined ? null : new Date(dose.scheduledAtMs),
      outcome: dose.outcome,
      givenAt: new Date(dose.givenAtMs),
      givenBy: work.actor.personId,
      batch: batch ?? null,
      reason: dose.reason ?? null,
      findings: asJson(findings),
      createdAt: new Date(work.nowMs),
    },
  });
  work.audit({
    event: "dose.recorded",
    subjectType: "dose",
    subjectId: dose.id,
    horseId: medication.horse.id,
    payload: {
      courseId: dose.courseId ?? null,
      drugKey: dose.drugKey,
      doseMg: dose.doseMg,
      route: dose.route,
      outcome: dose.outcome,
      givenAt: new Date(dose.givenAtMs).toISOString(),
      batch: batch ?? null,
    },
  });
};

const record = async (
  work: Work,
  medication: HorseMedication,
  caseId: string | null,
  dose: DoseEvent,
  batch: string | undefined,
  { findings, breach }: { readonly findings: readonly Finding[]; readonly breach: boolean },
): Promise<DoseRecord> => {
  const { horse } = medication;
  await write(work, medication, dose, batch, findings);
  const what = `${drugName(dose.drugKey)} ${measureOf(dose.drugKey, dose.presentationKey ?? null, dose.doseMg)}`;
  const against = findings
    .filter((finding) => finding.outcome === "warn")
    .map((finding) => finding.detail)
    .join(" ");
  await recordEvent(work, {
    horseId: horse.id,
    caseId,
    kind: "medicine",
    title: breach ? `${what} given against a rule` : `${what}: ${dose.outcome}`,
    detail:
      [dose.reason ?? "", breach ? against : ""].filter((part) => part !== "").join(" ") || null,
    at: dose.givenAtMs,
    refType: "dose",
    refId: dose.id,
  });
  if (breach)
    await tellVet(work, horse, {
      situation: `${what} went in against a rule`,
      found: `${against} ${dose.reason ?? ""}`,
      mustDo: "Ring the yard: say what to watch for and whether the next dose is left out",
      urgent: true,
    });
  work.announce("queue");
  const [stored] = await store.findDoses(work.tx, { id: dose.id, limit: 1 });
  if (stored === undefined) throw new Error("the dose just written is not there");
  return doseView(stored);
};

/** Doses missed one after the other go to the vet. */
const tellOfMisses = async (
  work: Work,
  medication: HorseMedication,
  dose: DoseEvent,
): Promise<void> => {
  const { context, horse } = medication;
  const standing = ledger({ ...context, doses: [...context.doses, dose] });
  const run = standing.missedTwice.find((one) => one.courseId === dose.courseId);
  if (run === undefined) return;
  await tellVet(work, horse, {
    situation: `${drugName(dose.drugKey)}: ${run.doses} doses in a row were not taken`,
    found: dose.reason ?? dose.outcome,
    mustDo: "Say what to do about the pain and the course",
    urgent: false,
  });
};

/** Records a dose of a signed plan. Everything is judged again under the lock on the horse. */
export const give = async (work: Work, courseId: string, input: NewDose): Promise<DoseRecord> => {
  const { tx, actor, nowMs } = work;
  const [before] = await store.findCourses(tx, { id: courseId, limit: 1 });
  if (before === undefined) throw notFound("course");
  const medication = await lockTreatable(work, before.horseId, before.caseId);
  const [row] = await store.findCourses(tx, { id: courseId, limit: 1 });
  if (row === undefined) throw notFound("course");
  assertNotFuture(input.givenAt, nowMs, "/givenAt");
  const givenAtMs = Date.parse(input.givenAt);
  const course = asOf(row, givenAtMs);
  const slot = slotAt(course, Date.parse(input.scheduledAt));
  if (slot === undefined) throw badField("/scheduledAt", "is not a time of this course's plan");
  if (row.signedAt !== null && givenAtMs < row.signedAt.getTime())
    throw badField("/givenAt", "lies before the course was signed");
  assertFirst(medication, row, slot, input.outcome);
  const dose: DoseEvent = {
    id: newId(),
    courseId,
    drugKey: row.drugKey,
    presentationKey: row.presentationKey,
    route: row.route,
    doseMg: slot.doseMg,
    givenAtMs,
    outcome: input.outcome,
    givenBy: actor.name,
    givenByRole: roleOf(work),
    scheduledAtMs: slot.atMs,
    reason: input.reason,
  };
  const context: MedicationContext = {
    ...medication.context,
    courses: [...medication.context.courses.filter((one) => one.id !== courseId), course],
  };
  const judged = withFindings(
    judgeDose(dose, context, { alreadyGiven: input.alreadyGiven }),
    counts(dose) ? ownReview(row, givenAtMs) : [],
    input.alreadyGiven,
  );
  if (!judged.ok)
    return refuse(work, {
      horseId: row.horseId,
      caseId: row.caseId,
      kind: "dose",
      request: { courseId, ...input, doseMg: slot.doseMg },
      findings: judged.findings,
      title: `Refused: ${drugName(row.drugKey)} dose of ${slot.timeLocal}`,
    });
  const { breach } = judged.value;
  const said = { findings: judged.findings, breach };
  const recorded = await record(work, medication, row.caseId, dose, input.batch, said);
  if (!counts(dose)) await tellOfMisses(work, medication, dose);
  return recorded;
};

/** A dose a vet gave in person outside any course; it counts in every limit like all others. */
export const giveSingle = async (
  work: Work,
  horseId: string,
  input: SingleDose,
): Promise<DoseRecord> => {
  const { actor, nowMs } = work;
  const medication = await lockTreatable(work, horseId, null);
  const { horse, context } = medication;
  const drug = drugOf(input.drugKey);
  if (drug === undefined) throw badField("/drugKey", "is not in the formulary");
  if (
    input.presentationKey !== undefined &&
    !drug.presentations.some((one) => one.key === input.presentationKey)
  )
    throw badField("/presentationKey", `is not a presentation of ${drug.name}`);
  assertNotFuture(input.givenAt, nowMs, "/givenAt");
  const presentation = drug.presentations.find((one) =>
    input.presentationKey === undefined
      ? one.routes.includes(input.route) && one.jurisdictions.includes(context.jurisdiction)
      : one.key === input.presentationKey,
  );
  if (presentation === undefined || !presentation.routes.includes(input.route))
    throw badField("/route", `no ${drug.name} in the formulary is given this way`);
  const dose: DoseEvent = {
    id: newId(),
    drugKey: drug.key,
    presentationKey: presentation.key,
    route: input.route,
    doseMg: input.doseMg,
    givenAtMs: Date.parse(input.givenAt),
    outcome: "given",
    givenBy: actor.name,
    givenByRole: "vet",
    reason: input.reason,
  };
  const judged = judgeDose(dose, context, { alreadyGiven: input.alreadyGiven });
  if (!judged.ok)
    return refuse(work, {
      horseId,
      caseId: horse.openCaseId,
      kind: "dose",
      request: input,
      findings: judged.findings,
      title: `Refused: ${drug.name}, single dose`,
    });
  if (!input.alreadyGiven) assertReasons(judged.findings, input.overrides);
  const reasons = input.overrides.map((one) => one.reason).join(" ");
  const words = [input.reason ?? "", reasons].filter((part) => part !== "").join(" ");
  return record(
    work,
    medication,
    horse.openCaseId,
    words === "" ? dose : { ...dose, reason: words },
    input.batch,
    { findings: judged.findings, breach: judged.value.breach },
  );
};

/** What is on board, and what comes next. */
export const readLedger = async (work: Work, horseId: string) => {
  const medication = await readMedication(work, horseId);
  const { context, courses } = medication;
  const standing = ledger(context);
  const byId = new Map(courses.map((course) => [course.id, course]));
  const held = new Set(courses.filter((one) => one.status === "held").map((one) => one.id));
  const planned = (slots: readonly Slot[]) =>
    slots.flatMap((slot) => {
      const course = byId.get(slot.courseId);
      return course === undefined || held.has(course.id)
        ? []
        : [
            {
              courseId: course.id,
              drugName: drugName(course.drugKey),
              scheduledAt: new Date(slot.atMs).toISOString(),
              doseMg: slot.doseMg,
              measure: measureOf(course.drugKey, course.presentationKey, slot.doseMg),
            },
          ];
    });
  return {
    weightKg: weightInForce(context)?.weightKg ?? null,
    totals: standing.totals.map((total) => ({
      moiety: total.moiety,
      name: drugName(total.moiety),
      last24hMg: total.last24hMg,
      last24hMgPerKg: total.last24hMgPerKg ?? null,
      last48hMg: total.last48hMg,
      last48hMgPerKg: total.last48hMgPerKg ?? null,
      courseDay: total.courseDay,
      shareOfLimit: total.shareOfLimit ?? null,
    })),
    next: planned(standing.nextDue),
    late: planned(standing.late),
    missedTwice: standing.missedTwice.map((one) => ({
      courseId: one.courseId,
      drugName: drugName(byId.get(one.courseId)?.drugKey ?? ""),
      doses: one.doses,
    })),
  };
};
