import type {
  FirstAidSheet as SheetView,
  tickFirstAid,
  writeFirstAidSheet,
} from "@heelward/contracts";
import { writeFirstAidSheet as composeSheet, type FirstAidSheet } from "@heelward/domain/firstaid";
import type { z } from "zod";
import type { Dependencies } from "../../app.ts";
import { enterPractice, whileSigningIn } from "../../database/client.ts";
import { defined } from "../../http/defined.ts";
import { assertNotFuture } from "../../http/instants.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem, ruleViolated } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { sha256Hex } from "../../records/canonical.ts";
import { recordEvent } from "../cases/events.ts";
import * as cases from "../cases/service.ts";
import { practicePhone } from "../people/practice.ts";
import { newSecret } from "../session/tokens.ts";
import * as store from "./store.ts";

type SheetFacts = z.output<NonNullable<typeof writeFirstAidSheet.body>>;
type Tick = z.output<NonNullable<typeof tickFirstAid.body>>;

const LINK_MS = 14 * 24 * 3_600_000;

const shown = (sheet: FirstAidSheet) => ({
  steps: [...sheet.steps],
  ringAtOnceIf: [...sheet.ringAtOnceIf],
  writeDown: [...sheet.writeDown],
  disagreements: sheet.disagreements.map((one) => ({ ...one, sides: [...one.sides] })),
  caution: sheet.caution,
  phone: sheet.ringNumber,
});

const view = (row: store.SheetRow): SheetView => ({
  id: row.id,
  caseId: row.caseId,
  horse: row.horse,
  writtenAt: row.writtenAt.toISOString(),
  writtenBy: row.writtenBy,
  version: row.version,
  ...shown(row.sheet),
  ticks: row.ticks.map((tick) => ({ ...tick, doneAt: new Date(tick.doneAt).toISOString() })),
});

export const read = async ({ tx }: Work, id: string): Promise<SheetView> => {
  const [row] = await store.findSheets(tx, { id });
  if (row === undefined) throw notFound("first-aid sheet");
  return view(row);
};

export const ofCase = async (work: Work, caseId: string): Promise<{ items: SheetView[] }> => {
  await cases.read(work, caseId);
  return { items: (await store.findSheets(work.tx, { caseId })).map(view) };
};

/** Writes the sheet for whoever stands in the box now, with a link that needs no sign-in. */
export const write = async (work: Work, caseId: string, facts: SheetFacts) => {
  const { tx, actor, nowMs } = work;
  const found = await cases.readOpen(work, caseId);
  const horse = await tx.horse.findUniqueOrThrow({
    where: { practiceId_id: { practiceId: actor.practiceId, id: found.horse.id } },
  });
  const weighing = await tx.weighing.findFirst({
    where: { horseId: horse.id },
    orderBy: { weighedAt: "desc" },
  });
  const { box, obelGrade, ...rest } = facts;
  const judged = composeSheet({
    ...rest,
    ...defined({ box, obelGrade, weightKg: weighing?.weightKg }),
    animalType: horse.type as "horse" | "pony" | "donkey",
    ringNumber: await practicePhone(work),
    atMs: nowMs,
  });
  if (!judged.ok)
    throw ruleViolated("The sheet cannot be written from these facts.", judged.findings);
  const id = newId();
  const { secret, hash } = newSecret();
  await tx.firstAidSheet.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId: horse.id,
      caseId,
      facts: JSON.parse(JSON.stringify(facts)) as object,
      sheet: JSON.parse(JSON.stringify(judged.value)) as object,
      writtenAt: new Date(nowMs),
      writtenBy: actor.personId,
      linkTokenHash: hash,
      linkExpiresAt: new Date(nowMs + LINK_MS),
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "first-aid.written",
    subjectType: "first-aid sheet",
    subjectId: id,
    horseId: horse.id,
    payload: { facts, support: judged.value.support.support },
  });
  await recordEvent(work, {
    horseId: horse.id,
    caseId,
    kind: "first aid",
    title: "First-aid sheet written",
    detail: judged.value.support.because,
    refType: "first-aid sheet",
    refId: id,
    forOwner:
      "We sent first-aid steps to the yard: a deep bed right to the door, no walking, support at the back of the feet.",
  });
  work.announce("queue");
  return { ...(await read(work, id)), link: `/first-aid/${secret}` };
};

/** Ticks a step once. A second tick of the same step is a conflict that says who was first. */
export const tick = async (work: Work, sheetId: string, input: Tick): Promise<SheetView> => {
  const { tx, actor, nowMs } = work;
  const sheet = await read(work, sheetId);
  await cases.readOpen(work, sheet.caseId);
  const step = sheet.steps.find((one) => one.id === input.stepId);
  if (step === undefined || !step.checklist)
    throw badField("/stepId", "is not a step of this sheet's checklist");
  assertNotFuture(input.doneAt, nowMs, "/doneAt");
  const earlier = sheet.ticks.find((one) => one.stepId === input.stepId);
  if (earlier !== undefined)
    throw new Problem("conflict", `${earlier.doneBy.name} ticked this at ${earlier.doneAt}.`, {
      recordId: sheetId,
    });
  if (
    input.photoId !== undefined &&
    (await tx.document.count({ where: { id: input.photoId, horseId: sheet.horse.id } })) !== 1
  )
    throw badField("/photoId", "is not a photo of this horse");
  const id = newId();
  await tx.firstAidTick.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId: sheet.horse.id,
      sheetId,
      stepId: input.stepId,
      doneAt: new Date(input.doneAt),
      doneBy: actor.personId,
      photoId: input.photoId ?? null,
      note: input.note ?? null,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "first-aid.step-done",
    subjectType: "first-aid sheet",
    subjectId: sheetId,
    horseId: sheet.horse.id,
    payload: { stepId: input.stepId, doneAt: input.doneAt },
  });
  await recordEvent(work, {
    horseId: sheet.horse.id,
    caseId: sheet.caseId,
    kind: "first aid",
    title: `First aid done: ${step.id}`,
    detail: input.note ?? step.text,
    at: Date.parse(input.doneAt),
    refType: "first-aid sheet",
    refId: sheetId,
  });
  work.announce("queue");
  return read(work, sheetId);
};

/** The sheet by its link, for whoever holds the phone in the box. */
export const readShared = async ({ db }: Dependencies, token: string, nowMs: number) =>
  whileSigningIn(db, async (tx) => {
    const found = await store.findSheetByToken(tx, sha256Hex(token));
    if (found === null || found.expiresAt.getTime() <= nowMs) throw notFound("first-aid sheet");
    await enterPractice(tx, { practiceId: found.practiceId, personId: null, roles: ["system"] });
    const [row] = await store.findSheets(tx, { id: found.id });
    if (row === undefined) throw notFound("first-aid sheet");
    return {
      horseName: row.horse.name,
      timeZone: row.timeZone,
      writtenAt: row.writtenAt.toISOString(),
      ...shown(row.sheet),
    };
  });
