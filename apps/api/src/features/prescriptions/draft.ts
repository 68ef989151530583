import { isDeepStrictEqual } from "node:util";
import type { changePrescription, draftPrescription, Prescription } from "@heelward/contracts";
import { isCurrentPrescription } from "@heelward/domain/trim";
import type { z } from "zod";
import { Prisma } from "../../database/client.ts";
import { defined } from "../../http/defined.ts";
import { newId } from "../../http/new-id.ts";
import { Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { changeOf } from "../../records/change-of.ts";
import * as cases from "../cases/service.ts";
import { assertFeet, assertFilms, judge } from "./judge.ts";
import { lock } from "./lock.ts";
import * as store from "./store.ts";
import { plain, read } from "./views.ts";

type Draft = z.output<NonNullable<typeof draftPrescription.body>>;
type DraftChange = z.output<NonNullable<typeof changePrescription.body>>;

/** Drafts a plan. It is judged at once, but only a signature makes it one to work from. */
export const draft = async (work: Work, caseId: string, input: Draft): Promise<Prescription> => {
  const { tx, actor, nowMs } = work;
  const found = await cases.readOpen(work, caseId);
  await assertFeet(work, input.feet);
  await assertFilms(work, found.horse.id, input.radiographIds);
  const findings = await judge(work, { ...input, horseId: found.horse.id, caseId }, undefined);
  const current = (await store.findPrescriptions(tx, { horseId: found.horse.id })).find((row) =>
    isCurrentPrescription(row.status),
  );
  const id = newId();
  await tx.prescription.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId: found.horse.id,
      caseId,
      number: await store.nextNumber(tx, caseId),
      status: "draft",
      aim: input.aim,
      feet: plain(input.feet),
      doNot: input.doNot,
      conditions: defined(input.conditions),
      intervalDays: input.intervalDays,
      urgent: input.urgent,
      radiographIds: input.radiographIds,
      findings: plain(findings),
      draftedBy: actor.personId,
      replacesId: current?.id ?? null,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "prescription.drafted",
    subjectType: "prescription",
    subjectId: id,
    horseId: found.horse.id,
    payload: input,
  });
  work.announce("queue");
  return read(work, id);
};

/** What an owner agrees to; when one of these changes, the consent is gone. */
const AGREED_TO = ["aim", "feet", "doNot", "conditions", "intervalDays"] as const;

const isAnother = (row: store.PrescriptionRow, input: DraftChange): boolean =>
  AGREED_TO.some(
    (key) => input[key] !== undefined && !isDeepStrictEqual(plain(input[key]), plain(row[key])),
  );

/** Changes a draft; it is judged again, and a changed plan is one the owner has not agreed to. */
export const change = async (
  work: Work,
  id: string,
  seen: number,
  input: DraftChange,
): Promise<Prescription> => {
  const row = await lock(work, id, seen);
  if (row.status !== "draft")
    throw new Problem(
      "record-sealed",
      "A signed plan never changes; draft a new one that replaces it.",
      { recordId: id },
    );
  const isConsentLost = row.consent !== null && isAnother(row, input);
  const merged = {
    ...row,
    ...defined(input),
    ...(isConsentLost ? { consent: null } : {}),
  } as store.PrescriptionRow;
  await assertFeet(work, merged.feet, row.feet);
  await assertFilms(work, row.horseId, merged.radiographIds);
  const findings = await judge(work, merged, undefined);
  const { feet, conditions, ...rest } = defined(input);
  await work.tx.prescription.updateMany({
    where: { id },
    data: {
      ...rest,
      ...(feet === undefined ? {} : { feet: plain(feet) }),
      ...(conditions === undefined ? {} : { conditions: defined(conditions) }),
      ...(isConsentLost ? { consent: Prisma.DbNull } : {}),
      findings: plain(findings),
      version: seen + 1,
    },
  });
  work.audit({
    event: "prescription.changed",
    subjectType: "prescription",
    subjectId: id,
    horseId: row.horseId,
    payload: changeOf(row, input),
  });
  work.announce("queue");
  return read(work, id);
};
