import type { Prescription, replyToPrescription } from "@heelward/contracts";
import type { z } from "zod";
import { hasRole } from "../../http/actor.ts";
import { happenedAt } from "../../http/arrival.ts";
import { newId } from "../../http/new-id.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import { write as writeNote } from "../handoffs/service.ts";
import { lock, step } from "./lock.ts";
import type * as store from "./store.ts";
import { read } from "./views.ts";

type Reply = z.output<NonNullable<typeof replyToPrescription.body>>;

const say = async (
  work: Work,
  row: store.PrescriptionRow,
  kind: "accepted" | "queried" | "answered" | "declined",
  text: string | null,
  counterProposal?: unknown,
): Promise<void> => {
  await work.tx.prescriptionMessage.create({
    data: {
      practiceId: work.actor.practiceId,
      id: newId(),
      horseId: row.horseId,
      prescriptionId: row.id,
      kind,
      text,
      ...(counterProposal === undefined
        ? {}
        : { counterProposal: JSON.parse(JSON.stringify(counterProposal)) as object }),
      writtenBy: work.actor.personId,
      writtenAt: new Date(work.nowMs),
      happenedAt: happenedAt(work),
      createdAt: new Date(work.nowMs),
    },
  });
};

const ACTION = { accepted: "accept", queried: "query", declined: "decline" } as const;
const TITLE = { accepted: "accepted", queried: "questioned", declined: "declined" } as const;

/** The farrier accepts, asks, or declines with a reason. A decline is a proper outcome and reaches the vet at once. */
export const reply = async (
  work: Work,
  id: string,
  seen: number,
  input: Reply,
): Promise<Prescription> => {
  const { tx, actor, nowMs } = work;
  const row = await lock(work, id, seen);
  const status = step(row, ACTION[input.reply], "farrier");
  await say(work, row, input.reply, input.text ?? null, input.counterProposal);
  await tx.prescription.updateMany({
    where: { id },
    data: { status, repliedBy: actor.personId, repliedAt: new Date(nowMs), version: seen + 1 },
  });
  work.audit({
    event: `prescription.${input.reply}`,
    subjectType: "prescription",
    subjectId: id,
    horseId: row.horseId,
    payload: input,
  });
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "prescription",
    title: `Plan ${row.number} ${TITLE[input.reply]} by the farrier`,
    detail: input.text ?? null,
    refType: "prescription",
    refId: id,
    data: { counterProposal: input.counterProposal ?? null },
  });
  if (input.reply !== "accepted")
    await writeNote(work, {
      horseId: row.horseId,
      toRole: "vet",
      urgent: input.reply === "declined" || row.urgent,
      situation:
        `${row.horse.name}: the farrier ${input.reply === "declined" ? "declines" : "asks about"} plan ${row.number}`.slice(
          0,
          200,
        ),
      found: input.text?.slice(0, 400),
      mustDo:
        input.reply === "declined"
          ? "Read the reason and plan a joint visit or a new plan"
          : "Answer on the prescription",
      byWhen: input.reply === "declined" ? "today" : "before the visit",
    });
  work.announce("queue");
  work.announce("prescriptions");
  return read(work, id);
};

/** The vet answers a question; the signed plan stays as it is and is the farrier's to accept again. */
export const answer = async (
  work: Work,
  id: string,
  seen: number,
  text: string,
): Promise<Prescription> => {
  const row = await lock(work, id, seen);
  const status = step(row, "answer", "vet");
  await say(work, row, "answered", text);
  await work.tx.prescription.updateMany({ where: { id }, data: { status, version: seen + 1 } });
  work.audit({
    event: "prescription.answered",
    subjectType: "prescription",
    subjectId: id,
    horseId: row.horseId,
    payload: { text },
  });
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "prescription",
    title: `Question on plan ${row.number} answered`,
    detail: text,
    refType: "prescription",
    refId: id,
  });
  work.announce("queue");
  return read(work, id);
};

export const withdraw = async (
  work: Work,
  id: string,
  seen: number,
  reason: string,
): Promise<Prescription> => {
  const row = await lock(work, id, seen);
  const status = step(row, "withdraw", "vet");
  await work.tx.prescription.updateMany({ where: { id }, data: { status, version: seen + 1 } });
  work.audit({
    event: "prescription.withdrawn",
    subjectType: "prescription",
    subjectId: id,
    horseId: row.horseId,
    payload: { reason },
  });
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "prescription",
    title: `Plan ${row.number} withdrawn`,
    detail: reason,
    refType: "prescription",
    refId: id,
  });
  if (row.status !== "draft" && hasRole(work.actor, "vet"))
    await writeNote(work, {
      horseId: row.horseId,
      toRole: "farrier",
      urgent: true,
      situation: `${row.horse.name}: plan ${row.number} is withdrawn`,
      found: reason.slice(0, 400),
      mustDo: "Do not work from it; wait for the next signed plan",
    });
  work.announce("queue");
  return read(work, id);
};
