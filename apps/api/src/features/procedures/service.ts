import type {
  Procedure,
  recordProcedure,
  requestProcedure,
  signProcedure,
} from "@heelward/contracts";
import type { Finding } from "@heelward/domain/evidence";
import { addDays, localDateOf, MS_PER_MINUTE } from "@heelward/domain/time";
import type { z } from "zod";
import { isoOrNull } from "../../http/dates.ts";
import { assertNotFuture } from "../../http/instants.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as cases from "../cases/service.ts";
import { assertPhotos } from "../documents/photos.ts";
import { write as writeNote } from "../handoffs/service.ts";
import * as horses from "../horses/service.ts";
import * as tasks from "../tasks/service.ts";
import { standing } from "../radiographs/outlines.ts";
import * as radiographs from "../radiographs/service.ts";
import * as store from "./store.ts";

type Request = z.output<NonNullable<typeof requestProcedure.body>>;
type Outcome = z.output<NonNullable<typeof recordProcedure.body>>;
type Signing = z.output<NonNullable<typeof signProcedure.body>>;

const SURGERY: Finding = {
  rule: "procedure/vet-only@1",
  outcome: "note",
  detail:
    "Opening the wall or sole into living tissue is veterinary surgery: only a vet orders and does it. Check the law where the horse stands.",
  source: {
    id: "veterinary-surgeons-act",
    citation:
      "Veterinary Surgeons Act 1966 (UK), s. 19 and 27: surgery into a body is for a registered veterinary surgeon",
    status: "law",
  },
};

/** When a line of aftercare is due where the vet gave no day. Source: house rule. */
const NEXT_DAY = 1;

const view = ({ horseName: _name, ...row }: store.ProcedureRow): Procedure => ({
  ...row,
  requestedAt: row.requestedAt.toISOString(),
  signedAt: isoOrNull(row.signedAt),
  doneAt: isoOrNull(row.doneAt),
});

const findRow = async ({ tx }: Work, id: string): Promise<store.ProcedureRow> => {
  const [row] = await store.findProcedures(tx, { id });
  if (row === undefined) throw notFound("procedure");
  return row;
};

/** What was asked for and no vet has decided on yet, oldest first. */
export const waitingOrders = async (work: Work): Promise<readonly Procedure[]> =>
  (await store.findProcedures(work.tx, { status: "requested" })).map(view).toReversed();

export const list = async (work: Work, caseId: string): Promise<{ items: Procedure[] }> => {
  await cases.read(work, caseId);
  return { items: (await store.findProcedures(work.tx, { caseId })).map(view) };
};

/** Asks for a procedure. Nothing may be done on a request. */
export const request = async (work: Work, caseId: string, input: Request): Promise<Procedure> => {
  const { tx, actor, nowMs } = work;
  const found = await cases.readOpen(work, caseId);
  const outline = input.outlineId === undefined ? null : await standing(work, input.outlineId);
  const film = outline === null ? null : await radiographs.read(work, outline.radiographId);
  if (outline !== null && (outline.kind !== "lucent line" || film?.horseId !== found.horse.id))
    throw badField("/outlineId", "is no outlined shadow on a film of this horse");
  if (film !== null && film.foot !== input.foot)
    throw badField("/foot", `the outlined shadow lies in ${film.foot}`);
  const id = newId();
  await tx.procedure.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId: found.horse.id,
      caseId,
      foot: input.foot,
      kind: input.kind,
      reason: input.reason,
      radiographId: outline?.radiographId ?? null,
      outlineId: outline?.id ?? null,
      status: "requested",
      requestedBy: actor.personId,
      requestedAt: new Date(nowMs),
      findings: JSON.parse(JSON.stringify([SURGERY, ...(outline?.findings ?? [])])) as object[],
      createdAt: new Date(nowMs),
    },
  });
  note(work, "procedure.requested", await findRow(work, id), input);
  await recordEvent(work, {
    horseId: found.horse.id,
    caseId,
    kind: "procedure",
    title: `Asked for: ${input.kind}, ${input.foot}`,
    detail: input.reason,
    refType: "procedure",
    refId: id,
  });
  await writeNote(work, {
    horseId: found.horse.id,
    toRole: "vet",
    urgent: true,
    situation: `${found.horse.name}: ${input.kind} of ${input.foot} is asked for`,
    found: input.reason.slice(0, 400),
    mustDo: "Look at foot and film; sign with the owner's consent, or decline with the reason",
    byWhen: "today",
  });
  return view(await findRow(work, id));
};

const note = (work: Work, event: string, row: store.ProcedureRow, payload: unknown): void => {
  work.audit({
    event,
    subjectType: "procedure",
    subjectId: row.id,
    horseId: row.horseId,
    payload,
  });
  work.announce("queue");
};

const lock = async (
  work: Work,
  id: string,
  seen: number,
  from: readonly Procedure["status"][],
): Promise<store.ProcedureRow> => {
  const version = await store.lockProcedure(work.tx, id);
  if (version === null) throw notFound("procedure");
  assertVersion(seen, version);
  const row = await findRow(work, id);
  await cases.readOpen(work, row.caseId);
  if (!from.includes(row.status))
    throw new Problem(
      row.signedText === null ? "conflict" : "record-sealed",
      `This procedure is ${row.status} already.`,
      { recordId: id },
    );
  return row;
};

/** A vet orders it: reason, consent and aftercare are sealed together. */
export const sign = async (
  work: Work,
  id: string,
  seen: number,
  input: Signing,
): Promise<Procedure> => {
  const { tx, actor, nowMs } = work;
  const row = await lock(work, id, seen, ["requested"]);
  assertNotFuture(input.consent.at, nowMs, "/consent/at");
  if (input.aftercareDays.length > input.aftercare.length)
    throw badField("/aftercareDays", "names more days than there is aftercare");
  const days = input.aftercare.map((_, index) => input.aftercareDays[index] ?? NEXT_DAY);
  const signedAt = new Date(nowMs);
  const sealed = work.signer.seal({
    meaning: "orders a procedure on the foot",
    procedureId: id,
    caseId: row.caseId,
    horse: { id: row.horseId, name: row.horseName },
    foot: row.foot,
    kind: row.kind,
    reason: row.reason,
    radiographId: row.radiographId,
    outlineId: row.outlineId,
    consent: input.consent,
    aftercare: input.aftercare,
    aftercareDays: days,
    signer: { id: actor.personId, name: actor.name, registration: actor.registrationNumber },
    signedAt: signedAt.toISOString(),
  });
  await tx.procedure.updateMany({
    where: { id },
    data: {
      status: "signed",
      consent: input.consent,
      aftercare: input.aftercare,
      aftercareDays: days,
      signedBy: actor.personId,
      signedAt,
      signedText: sealed.text,
      signature: sealed.signature,
      signingKeyId: work.signer.keyId,
      version: seen + 1,
    },
  });
  note(work, "procedure.signed", row, {
    signature: sealed.signature,
    keyId: work.signer.keyId,
    consent: input.consent,
  });
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "procedure",
    title: `Signed: ${row.kind}, ${row.foot}`,
    detail: `Consent by ${input.consent.by}`,
    refType: "procedure",
    refId: id,
    forOwner: `The vet ordered a ${row.kind} of a foot; ${input.consent.by} consented.`,
  });
  return view(await findRow(work, id));
};

/** It was done: what was found, and the aftercare to yard and farrier. */
export const record = async (
  work: Work,
  id: string,
  seen: number,
  input: Outcome,
): Promise<Procedure> => {
  const { tx, actor, nowMs } = work;
  const row = await lock(work, id, seen, ["signed"]);
  assertNotFuture(input.doneAt, nowMs, "/doneAt");
  const doneAt = new Date(input.doneAt);
  // People tell a time to the minute: done in the minute of the signature is not done before it.
  if (row.signedAt !== null && doneAt.getTime() + MS_PER_MINUTE <= row.signedAt.getTime())
    throw badField("/doneAt", "lies before the signature and the consent it rests on");
  await assertPhotos(work, row.horseId, input.photoIds);
  await tx.procedure.updateMany({
    where: { id },
    data: {
      status: "done",
      doneAt,
      doneBy: actor.personId,
      found: input.found,
      photoIds: input.photoIds,
      version: seen + 1,
    },
  });
  note(work, "procedure.done", row, input);
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "procedure",
    title: `Done: ${row.kind}, ${row.foot}`,
    at: doneAt.getTime(),
    detail: input.found,
    refType: "procedure",
    refId: id,
    forOwner: `The vet did the ${row.kind} of a foot. The yard has the aftercare.`,
  });
  const { yard } = await horses.read(work, row.horseId);
  const doneOn = localDateOf(doneAt.getTime(), yard.timeZone);
  await tasks.open(
    work,
    row.aftercare.map((line, index) => ({
      horseId: row.horseId,
      caseId: row.caseId,
      kind: "aftercare",
      forRole: "carer",
      foot: row.foot,
      title: line,
      detail: `After the ${row.kind} of ${row.foot}. Take a photo each time.`,
      opensOn: addDays(doneOn, row.aftercareDays[index] ?? NEXT_DAY),
      dueOn: addDays(doneOn, row.aftercareDays[index] ?? NEXT_DAY),
      refType: "procedure",
      refId: id,
    })),
  );
  const aftercare = row.aftercare.join("; ");
  for (const toRole of ["carer", "farrier"] as const)
    // One after the other: each takes its place in the audit chain.
    // oxlint-disable-next-line no-await-in-loop
    await writeNote(work, {
      horseId: row.horseId,
      toRole,
      urgent: true,
      situation: `${row.horseName}: ${row.kind} of ${row.foot} was done`,
      found: input.found.slice(0, 400),
      mustDo:
        aftercare.length <= 1000
          ? aftercare
          : `${aftercare.slice(0, 940)}… (all of it on the procedure)`,
      callMeIf: "more lame, swelling, bleeding through the bandage, or off food",
    });
  return view(await findRow(work, id));
};

export const decline = async (
  work: Work,
  id: string,
  seen: number,
  reason: string,
): Promise<Procedure> => {
  const row = await lock(work, id, seen, ["requested"]);
  await work.tx.procedure.updateMany({
    where: { id },
    data: { status: "declined", declinedReason: reason, version: seen + 1 },
  });
  note(work, "procedure.declined", row, { reason });
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "procedure",
    title: `Decided against: ${row.kind}, ${row.foot}`,
    detail: reason,
    refType: "procedure",
    refId: id,
  });
  return view(await findRow(work, id));
};
