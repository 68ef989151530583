import type { Prescription, recordPlanConsent, setPlanCost } from "@heelward/contracts";
import { CONSENT_RULE } from "@heelward/domain/trim";
import type { z } from "zod";
import { Prisma } from "../../database/client.ts";
import { Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { changeOf } from "../../records/change-of.ts";
import { recordEvent } from "../cases/events.ts";
import { consentFindings } from "./judge.ts";
import { lock } from "./lock.ts";
import type * as store from "./store.ts";
import { plain, read } from "./views.ts";

type Cost = z.output<NonNullable<typeof setPlanCost.body>>;
type Told = z.output<NonNullable<typeof recordPlanConsent.body>>;
type Consent = NonNullable<Prescription["consent"]>;

/** A plan whose terms may still be talked about. @throws Problem when it is signed already */
const lockDraft = async (work: Work, id: string, seen: number): Promise<store.PrescriptionRow> => {
  const row = await lock(work, id, seen);
  if (row.status !== "draft")
    throw new Problem(
      "record-sealed",
      "This plan is signed: what the owner was told stands as it was signed.",
      { recordId: id },
    );
  return row;
};

const others = (row: store.PrescriptionRow) =>
  row.findings.filter(({ rule }) => rule !== CONSENT_RULE);

/** Says what a draft is likely to cost. Another figure needs another yes from the owner. */
export const setCost = async (
  work: Work,
  id: string,
  seen: number,
  input: Cost,
): Promise<Prescription> => {
  const { tx, actor, nowMs } = work;
  const row = await lockDraft(work, id, seen);
  const figures = { ...input, setBy: actor.personId, setAt: new Date(nowMs) };
  await tx.planCost.upsert({
    where: { practiceId_prescriptionId: { practiceId: actor.practiceId, prescriptionId: id } },
    create: {
      ...figures,
      practiceId: actor.practiceId,
      prescriptionId: id,
      horseId: row.horseId,
    },
    update: { ...figures, version: { increment: 1 } },
  });
  await tx.prescription.updateMany({
    where: { id },
    data: {
      consent: Prisma.DbNull,
      findings: plain([...others(row), ...consentFindings({ ...row, consent: null })]),
      version: seen + 1,
    },
  });
  work.audit({
    event: "prescription.cost-set",
    subjectType: "prescription",
    subjectId: id,
    horseId: row.horseId,
    payload: changeOf({ cost: row.cost }, { cost: input }),
  });
  work.announce("prescriptions");
  return read(work, id);
};

/** Keeps the owner's yes with the plan. What is signed already stays as it is. */
export const agree = async (
  work: Work,
  row: store.PrescriptionRow,
  given: { readonly givenBy: string; readonly words: string | null; readonly forOwner: string },
): Promise<Consent> => {
  const { tx, actor, nowMs } = work;
  if (row.consent !== null)
    throw new Problem("conflict", `${row.consent.givenBy} agreed to this plan already.`, {
      recordId: row.id,
    });
  const { forOwner, ...said } = given;
  const consent: Consent = {
    at: new Date(nowMs).toISOString(),
    by: { id: actor.personId, name: actor.name },
    ...said,
  };
  await tx.prescription.updateMany({
    where: { id: row.id },
    data: {
      consent: { ...consent, cost: row.cost },
      ...(row.signedAt === null
        ? { findings: plain([...others(row), ...consentFindings({ ...row, consent })]) }
        : {}),
    },
  });
  work.audit({
    event: "prescription.agreed",
    subjectType: "prescription",
    subjectId: row.id,
    horseId: row.horseId,
    payload: { ...said, cost: row.cost },
  });
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "prescription",
    title: `Owner agrees to plan ${row.number}`,
    detail: said.words,
    refType: "prescription",
    refId: row.id,
    forOwner,
  });
  work.announce("prescriptions");
  return consent;
};

/** The owner said yes by phone or in person; the one who heard it writes it down. */
export const recordConsent = async (
  work: Work,
  id: string,
  seen: number,
  input: Told,
): Promise<Prescription> => {
  const row = await lockDraft(work, id, seen);
  await agree(work, row, {
    givenBy: input.givenBy,
    words: input.words ?? null,
    forOwner: `${input.givenBy} agreed to the plan for the feet.`,
  });
  return read(work, id);
};
