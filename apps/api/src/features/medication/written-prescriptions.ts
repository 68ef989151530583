import type { recordSupply, WrittenPrescription } from "@heelward/contracts";
import {
  buildCourse,
  missingPrescriptionFields,
  PRESCRIPTION_FIELDS,
  prescriptionValidity,
  requiredPrescriptionFields,
  type PrescriptionField,
  type PrescriptionKind,
} from "@heelward/domain/medication";
import type { Finding } from "@heelward/domain/evidence";
import { dayText, localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import { dayColumn } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem, ruleViolated } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import { readPractice } from "../people/practice.ts";
import { asJson } from "./as-json.ts";
import { jurisdictionOf, readMedication, type HorseMedication } from "./context.ts";
import { findCourse, lockTreatable, signer } from "./course-lock.ts";
import * as recordStore from "./record-store.ts";
import { findHorses, type CourseRow } from "./store.ts";
import { drugName, isOver, requestOf } from "./views.ts";
import { fillFields, kindOf, type Filled, type PrescriptionInput } from "./written-fields.ts";

type Supply = z.output<NonNullable<typeof recordSupply.body>>;

const storedKind = (kind: PrescriptionKind): recordStore.PrescriptionKindRow => ({
  jurisdiction: kind.jurisdiction,
  controlled: kind.controlled ?? null,
  antimicrobial: kind.antimicrobial === true,
  offLabel: kind.offLabel === true,
  foodAnimal: kind.foodAnimal === true,
  repeatable: kind.repeatable === true,
});

const toKind = (kind: recordStore.PrescriptionKindRow): PrescriptionKind => ({
  ...kind,
  controlled: kind.controlled ?? undefined,
});

const view = (row: recordStore.PrescriptionRow): WrittenPrescription => ({
  ...row,
  fields: (Object.keys(PRESCRIPTION_FIELDS) as PrescriptionField[]).flatMap((field) => {
    const text = row.fields[field];
    return text === undefined ? [] : [{ field, label: PRESCRIPTION_FIELDS[field], text }];
  }),
  findings: [...row.findings],
  issuedAt: row.issuedAt.toISOString(),
  supplies: [...row.supplies],
});

/** Fills every field of the prescription of a course and says what is missing. */
const prepare = async (
  work: Work,
  medication: HorseMedication,
  course: CourseRow,
  input: PrescriptionInput,
) => {
  const { tx, actor, nowMs } = work;
  const identity = await recordStore.findIdentity(tx, course.horseId);
  if (identity === undefined) throw notFound("horse");
  const practice = await readPractice(work);
  const [lastByVet] = await recordStore.findPrescriptions(tx, {
    issuedBy: actor.personId,
    limit: 1,
  });
  const [lastOfHorse] = await recordStore.findPrescriptions(tx, {
    horseId: course.horseId,
    limit: 1,
  });
  const plan = buildCourse(requestOf(course, course.id), medication.context);
  if (plan === undefined) throw new Error("a signed course has no plan");
  const issuedOn = localDateOf(nowMs, practice.timeZone);
  const kind = kindOf(jurisdictionOf(practice.jurisdiction), { input, course, identity });
  const fields = fillFields(kind, {
    input,
    course,
    plan,
    identity,
    prescriber: { name: actor.name, registration: actor.registrationNumber },
    practicePhone: practice.phone,
    practiceAddress:
      practice.postalAddress === null ? null : `${practice.name}, ${practice.postalAddress}`,
    lastByVet: (lastByVet?.fields ?? {}) as Filled,
    lastOfHorse: (lastOfHorse?.fields ?? {}) as Filled,
    issuedOn,
    signedWith: `Signed electronically by ${actor.name} (Ed25519, key ${work.signer.keyId})`,
  });
  const validity = prescriptionValidity(kind, issuedOn, issuedOn, input.validDays);
  const repeatFinding: readonly Finding[] =
    input.repeats > 0 && !validity.repeatsAllowed
      ? [
          {
            ...validity.finding,
            rule: "medication/prescription-repeats@1",
            outcome: "block",
            detail: `A controlled drug of ${input.controlled ?? "this schedule"} is never repeatable: write a new prescription each time.`,
            field: "/repeats",
          },
        ]
      : [];
  return {
    kind,
    fields,
    issuedOn,
    missing: missingPrescriptionFields(kind, fields),
    required: requiredPrescriptionFields(kind),
    lastOn: validity.lastOn,
    findings: [validity.finding, ...repeatFinding],
  };
};

/** @throws Problem unless the course may still be supplied for. */
const assertSigned = (course: CourseRow, nowMs: number): void => {
  if (course.status === "signed" && !isOver(course, nowMs)) return;
  throw new Problem(
    "conflict",
    course.status === "draft"
      ? "This course is not signed yet; a prescription is written for a signed course."
      : course.status === "held"
        ? "This course is on hold; nothing is prescribed from it until a vet releases it."
        : "This course is over.",
    { recordId: course.id },
  );
};

export const judge = async (work: Work, courseId: string, input: PrescriptionInput) => {
  const course = await findCourse(work, courseId);
  const medication = await readMedication(work, course.horseId);
  const ready = await prepare(work, medication, course, input);
  const required = new Map(ready.required.map((one) => [one.field, one.source]));
  const law = ready.required[0]?.source;
  return {
    kind: storedKind(ready.kind),
    fields: (Object.keys(PRESCRIPTION_FIELDS) as PrescriptionField[]).flatMap((field) => {
      const source = required.get(field) ?? law;
      const text = ready.fields[field] ?? null;
      return source === undefined || (text === null && !required.has(field))
        ? []
        : [
            {
              field,
              label: PRESCRIPTION_FIELDS[field],
              text,
              required: required.has(field),
              source,
            },
          ];
    }),
    missing: [...ready.missing],
    lastOn: ready.lastOn,
    findings: [...ready.findings],
  };
};

/** Signs a prescription; a missing legal field is named and nothing is issued. */
export const issue = async (
  work: Work,
  courseId: string,
  input: PrescriptionInput,
): Promise<WrittenPrescription> => {
  const { tx, actor, nowMs } = work;
  const before = await findCourse(work, courseId);
  const medication = await lockTreatable(work, before.horseId, before.caseId);
  const course = await findCourse(work, courseId);
  assertSigned(course, nowMs);
  const by = signer(work);
  const ready = await prepare(work, medication, course, input);
  if (ready.missing.length > 0)
    throw new Problem(
      "malformed-request",
      `Missing on the prescription: ${ready.missing.map((field) => PRESCRIPTION_FIELDS[field].toLowerCase()).join("; ")}.`,
      {
        errors: ready.missing.map((field) => ({
          pointer:
            field === "cascadeStatement"
              ? "/cascadeReason"
              : field === "underCareDeclaration"
                ? "/declaresUnderCare"
                : `/${field}`,
          detail: `${PRESCRIPTION_FIELDS[field]} is required by law`,
        })),
      },
    );
  const blocked = ready.findings.filter((finding) => finding.outcome === "block");
  if (blocked[0] !== undefined) throw ruleViolated(blocked[0].detail, ready.findings);
  const id = newId();
  const number = await recordStore.nextPrescriptionNumber(tx, actor.practiceId);
  const kind = storedKind(ready.kind);
  const document = work.signer.seal(
    asJson({
      meaning: "signs the written prescription",
      prescriptionId: id,
      number,
      horseId: course.horseId,
      courseId,
      courseSignature: course.signature,
      kind,
      fields: ready.fields,
      repeats: input.repeats,
      lastOn: ready.lastOn,
      signer: by,
      signedAt: new Date(nowMs).toISOString(),
    }),
  );
  await tx.writtenPrescription.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId: course.horseId,
      caseId: course.caseId,
      courseId,
      number,
      issuedOn: dayColumn(ready.issuedOn),
      lastOn: dayColumn(ready.lastOn),
      repeats: input.repeats,
      kind: asJson(kind),
      fields: asJson(ready.fields),
      findings: asJson(ready.findings),
      issuedBy: actor.personId,
      issuedAt: new Date(nowMs),
      signedText: document.text,
      signature: document.signature,
      signingKeyId: work.signer.keyId,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "medicine-prescription.issued",
    subjectType: "written prescription",
    subjectId: id,
    horseId: course.horseId,
    payload: { courseId, number, lastOn: ready.lastOn, signature: document.signature },
  });
  await recordEvent(work, {
    horseId: course.horseId,
    caseId: course.caseId,
    kind: "medicine",
    title: `Written prescription ${number}: ${drugName(course.drugKey)}`,
    detail: `Valid to ${dayText(ready.lastOn)}${input.repeats === 0 ? "" : `, ${input.repeats} repeats`}`,
    refType: "written prescription",
    refId: id,
  });
  return read(work, id);
};

/** One prescription as stored. */
export const findRow = async (work: Work, id: string): Promise<recordStore.PrescriptionRow> => {
  const [row] = await recordStore.findPrescriptions(work.tx, { id, limit: 1 });
  if (row === undefined) throw notFound("written prescription");
  return row;
};

export const read = async (work: Work, id: string): Promise<WrittenPrescription> =>
  view(await findRow(work, id));

export const list = async (work: Work, horseId: string) => {
  if ((await findHorses(work.tx, { ids: [horseId] })).length === 0) throw notFound("horse");
  return { items: (await recordStore.findPrescriptions(work.tx, { horseId })).map(view) };
};

/** Notes a supply: inside the validity, and not more often than the repeats allow. */
export const supply = async (
  work: Work,
  id: string,
  input: Supply,
): Promise<WrittenPrescription> => {
  const { tx, actor, nowMs } = work;
  const seen = await findRow(work, id);
  const medication = await lockTreatable(work, seen.horseId, null);
  const row = await findRow(work, id);
  if (input.suppliedOn > localDateOf(nowMs, medication.horse.timeZone))
    throw badField("/suppliedOn", "lies in the future");
  const validity = prescriptionValidity(toKind(row.kind), row.issuedOn, input.suppliedOn);
  const isOutOfDate = !validity.valid || input.suppliedOn > row.lastOn;
  if (isOutOfDate)
    throw ruleViolated(
      `This prescription was issued on ${dayText(row.issuedOn)} and may be supplied to ${dayText(row.lastOn)}.`,
      [{ ...validity.finding, outcome: "block", field: "/suppliedOn" }],
    );
  if (row.supplies.length > row.repeats)
    throw ruleViolated(
      `All ${row.repeats + 1} supplies on this prescription were made; a new one is needed.`,
      [
        {
          ...validity.finding,
          rule: "medication/prescription-used-up@1",
          outcome: "block",
          detail: `Supplied ${row.supplies.length} times; it allows ${row.repeats + 1}.`,
        },
      ],
    );
  const course = medication.courses.find((one) => one.id === row.courseId);
  if (course !== undefined) assertSigned(course, nowMs);
  const supplyId = newId();
  await tx.prescriptionSupply.create({
    data: {
      practiceId: actor.practiceId,
      id: supplyId,
      horseId: row.horseId,
      writtenPrescriptionId: id,
      number: row.supplies.length + 1,
      suppliedOn: dayColumn(input.suppliedOn),
      quantity: input.quantity,
      batch: input.batch ?? null,
      suppliedBy: actor.personId,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "medicine-prescription.supplied",
    subjectType: "written prescription",
    subjectId: id,
    horseId: row.horseId,
    payload: input,
  });
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "medicine",
    title: `Supplied on prescription ${row.number}: ${input.quantity}`,
    detail: input.batch === undefined ? null : `Batch ${input.batch}`,
    refType: "written prescription",
    refId: id,
  });
  return read(work, id);
};
