import { MS_PER_DAY } from "@heelward/domain/time";
import type { Transaction } from "../../database/client.ts";
import { newId } from "../../http/new-id.ts";
import { queueLetter, type MailRoom } from "../../mail/outbox.ts";
import type { ResetRow } from "../resets/read-model.ts";
import { newSecret } from "../session/tokens.ts";

interface Person {
  readonly id: string;
  readonly name: string;
}

/** Whom a reminder reached, and whom not and why. */
export interface Reminded {
  readonly writtenTo: readonly Person[];
  readonly notWrittenTo: readonly { readonly person: Person; readonly why: string }[];
}

/** A link that asks about no date yet is answered within a fortnight or not at all. */
const OPEN_QUESTION_MS = 14 * MS_PER_DAY;
/** Nobody is written to twice about one date within this time (house rule). */
const AGAIN_AFTER_MS = MS_PER_DAY;

/** Why nothing may be sent about this reset; null when it may. */
export const silence = async (tx: Transaction, row: ResetRow): Promise<string | null> => {
  if (row.status !== "open" && row.status !== "booked") return `the reset is ${row.status}`;
  if (row.pausedReason !== null) return "the horse is paused";
  const horse = await tx.horse.findFirstOrThrow({ where: { id: row.horse.id } });
  if (horse.status !== "active") return `the horse is ${horse.status}`;
  const cases = await tx.case.findMany({
    where: { horseId: row.horse.id },
    select: { phase: true },
  });
  return cases.length > 0 && cases.every((one) => one.phase === "closed")
    ? "the case is closed"
    : null;
};

/** Writes to every owner of the horse, with a link of their own; logs each as a try to reach them. */
export const remindOwners = async (
  where: {
    readonly tx: Transaction;
    readonly practiceId: string;
    readonly nowMs: number;
    /** Null for the service itself. */
    readonly sentBy: string | null;
  },
  mail: MailRoom,
  row: ResetRow,
): Promise<Reminded> => {
  const { tx, practiceId, nowMs, sentBy } = where;
  const links = await tx.horsePerson.findMany({ where: { horseId: row.horse.id } });
  const owners = await tx.person.findMany({
    where: { id: { in: links.map((link) => link.personId) }, status: "active" },
    orderBy: { id: "asc" },
  });
  const writtenTo: Person[] = [];
  const notWrittenTo: { person: Person; why: string }[] = [];
  for (const owner of owners) {
    const person = { id: owner.id, name: owner.name };
    // One letter after the other, in one transaction.
    // oxlint-disable-next-line no-await-in-loop
    const recent = await tx.reminder.count({
      where: {
        resetId: row.id,
        personId: owner.id,
        askedFor: row.bookedFor,
        createdAt: { gt: new Date(nowMs - AGAIN_AFTER_MS) },
      },
    });
    if (recent > 0) {
      notWrittenTo.push({ person, why: "was written to about this date within the last day" });
      continue;
    }
    const id = newId();
    const { secret, hash } = newSecret();
    // oxlint-disable-next-line no-await-in-loop
    const outboxId = await queueLetter(
      tx,
      practiceId,
      nowMs,
      "reset reminder",
      { reminderId: id, to: owner.email },
      { sealer: mail.sealer, secret },
    );
    // oxlint-disable-next-line no-await-in-loop
    await tx.reminder.create({
      data: {
        practiceId,
        id,
        horseId: row.horse.id,
        resetId: row.id,
        personId: owner.id,
        outboxId,
        tokenHash: hash,
        askedFor: row.bookedFor,
        sentBy,
        expiresAt: row.bookedFor ?? new Date(nowMs + OPEN_QUESTION_MS),
        createdAt: new Date(nowMs),
      },
    });
    // oxlint-disable-next-line no-await-in-loop
    await tx.resetAttempt.create({
      data: {
        practiceId,
        id: newId(),
        horseId: row.horse.id,
        resetId: row.id,
        at: new Date(nowMs),
        kind: "contact",
        channel: "mail",
        detail: `Reminder to ${owner.name}`,
        madeBy: sentBy,
        createdAt: new Date(nowMs),
      },
    });
    writtenTo.push(person);
  }
  return { writtenTo, notWrittenTo };
};
