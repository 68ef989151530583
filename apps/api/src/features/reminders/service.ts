import {
  reminderAnswer,
  type answerReminder,
  type readReminder,
  type sendReminder,
} from "@heelward/contracts";
import { MS_PER_DAY } from "@heelward/domain/time";
import type { z } from "zod";
import type { Dependencies } from "../../app.ts";
import { enterPractice, whileSigningIn, type Transaction } from "../../database/client.ts";
import { isoOrNull } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { notFound, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import type { MailRoom } from "../../mail/outbox.ts";
import { appendAudit } from "../../records/audit.ts";
import { sha256Hex } from "../../records/canonical.ts";
import { readRow } from "../resets/service.ts";
import { remindOwners, silence } from "./send.ts";

type Answer = z.output<NonNullable<typeof answerReminder.body>>;

/** A person sends a reminder by hand. */
export const send = async (
  work: Work,
  resetId: string,
  mail: MailRoom | undefined,
): Promise<z.input<typeof sendReminder.response>> => {
  const row = await readRow(work, resetId);
  if (mail === undefined)
    throw new Problem("dependency-unavailable", "This installation sends no mail yet.");
  const why = await silence(work.tx, row);
  if (why !== null) throw new Problem("conflict", `Nothing is sent: ${why}.`);
  const reminded = await remindOwners(
    {
      tx: work.tx,
      practiceId: work.actor.practiceId,
      nowMs: work.nowMs,
      sentBy: work.actor.personId,
    },
    mail,
    row,
  );
  work.audit({
    event: "reminder.queued",
    subjectType: "reset",
    subjectId: resetId,
    horseId: row.horse.id,
    payload: { to: reminded.writtenTo.map((person) => person.id) },
  });
  work.announce("outbox");
  work.announce("resets");
  return { writtenTo: [...reminded.writtenTo], notWrittenTo: [...reminded.notWrittenTo] };
};

const gone = () =>
  new Problem("not-found", "This link was answered, or it has run out. Ring the practice.");

/** An answer may be looked up for this long after it was given. */
const ANSWER_SHOWN_MS = 14 * MS_PER_DAY;

/** Whether the visit a reminder asks about still stands as it was asked. */
const stands = (
  reset: { readonly status: string; readonly bookedFor: Date | null } | null,
  askedFor: Date | null,
): boolean =>
  reset !== null &&
  (reset.status === "open" || reset.status === "booked") &&
  reset.bookedFor?.getTime() === askedFor?.getTime();

/** What a used link shows: the date that was asked about and what was said to it. */
const answered = async (tx: Transaction, token: string, nowMs: number) => {
  const [found] = await tx.$queryRaw<{ practiceId: string; id: string }[]>`
    SELECT practice_id AS "practiceId", id FROM reminders
    WHERE token_hash = ${sha256Hex(token)} AND answered_at > ${new Date(nowMs - ANSWER_SHOWN_MS)}`;
  if (found === undefined) return null;
  await enterPractice(tx, { practiceId: found.practiceId, personId: null, roles: ["system"] });
  const reminder = await tx.reminder.findFirstOrThrow({ where: { id: found.id } });
  const reset = await tx.reset.findFirst({ where: { id: reminder.resetId } });
  const horse = await tx.horse.findFirst({ where: { id: reminder.horseId } });
  if (horse === null || reminder.answeredAt === null) return null;
  return {
    horse,
    askedFor: reminder.askedFor,
    answered: {
      answer: reminderAnswer.parse(reminder.answer),
      at: reminder.answeredAt.toISOString(),
      holds: stands(reset, reminder.askedFor),
    },
  };
};

/** The reminder of a link that still asks, locked, with the transaction moved into its practice. */
const open = async (tx: Transaction, token: string, nowMs: number) => {
  const [found] = await tx.$queryRaw<{ practiceId: string; id: string }[]>`
    SELECT practice_id AS "practiceId", id FROM reminders
    WHERE token_hash = ${sha256Hex(token)} AND answered_at IS NULL AND expires_at > ${new Date(nowMs)} FOR UPDATE`;
  if (found === undefined) throw gone();
  await enterPractice(tx, { practiceId: found.practiceId, personId: null, roles: ["system"] });
  const reminder = await tx.reminder.findFirstOrThrow({ where: { id: found.id } });
  const reset = await tx.reset.findFirst({ where: { id: reminder.resetId } });
  // Moved, done or given up since: the question is not asked any more.
  if (reset === null || !stands(reset, reminder.askedFor)) throw gone();
  const horse = await tx.horse.findFirst({ where: { id: reminder.horseId } });
  if (horse === null) throw notFound("horse");
  return { practiceId: found.practiceId, reminder, reset, horse };
};

const question = async (tx: Transaction, token: string, nowMs: number) => {
  const { reminder, horse } = await open(tx, token, nowMs);
  return { horse, askedFor: reminder.askedFor };
};

/** What the link asks, or what was answered by it: no more of the file than the letter said. */
export const read = ({ db }: Dependencies, token: string, nowMs: number) =>
  whileSigningIn(db, async (tx): Promise<z.input<typeof readReminder.response>> => {
    const used = await answered(tx, token, nowMs);
    const { horse, askedFor } = used ?? (await question(tx, token, nowMs));
    const practice = await tx.practice.findFirstOrThrow({});
    const yard = await tx.yard.findFirstOrThrow({ where: { id: horse.yardId } });
    return {
      practice: { name: practice.name, phone: practice.phone },
      horseName: horse.name,
      yard: yard.name,
      bookedFor: isoOrNull(askedFor),
      timeZone: yard.timeZone,
      answered: used?.answered ?? null,
    };
  });

const THANKS = {
  yes: "Thank you. It is noted.",
  no: "Thank you. The practice will ring you about another date.",
  "call me": "Thank you. The practice will ring you.",
} as const;

/** Takes an answer once: the board and the contact log follow in the same transaction. */
export const answer = (
  { db }: Dependencies,
  token: string,
  input: Answer,
  from: { readonly nowMs: number; readonly requestId: string },
): Promise<{ thanks: string }> =>
  whileSigningIn(db, async (tx) => {
    const { practiceId, reminder, reset, horse } = await open(tx, token, from.nowMs);
    const now = new Date(from.nowMs);
    await tx.reminder.updateMany({
      where: { id: reminder.id },
      data: {
        answer: input.answer,
        answeredAt: now,
        message: input.message ?? null,
        version: reminder.version + 1,
      },
    });
    await tx.reset.updateMany({
      where: { id: reset.id },
      data: { ownerAnswer: input.answer, ownerAnsweredAt: now },
    });
    await tx.resetAttempt.create({
      data: {
        practiceId,
        id: newId(),
        horseId: horse.id,
        resetId: reset.id,
        at: now,
        kind: "contact",
        channel: "mail",
        answer: input.answer,
        detail: `Answer by link: ${input.answer}${input.message === undefined ? "" : `. ${input.message}`}`,
        madeBy: reminder.personId,
        createdAt: now,
      },
    });
    await appendAudit(
      tx,
      {
        practiceId,
        actorId: reminder.personId,
        actorRoles: ["owner"],
        requestId: from.requestId,
        clientTime: null,
        atMs: from.nowMs,
      },
      [
        {
          event: "reminder.answered",
          subjectType: "reset",
          subjectId: reset.id,
          horseId: horse.id,
          payload: { answer: input.answer },
        },
      ],
    );
    await tx.$executeRaw`SELECT pg_notify('heelward_changes', ${JSON.stringify({ practiceId, topics: ["resets", "queue"] })})`;
    return { thanks: THANKS[input.answer] };
  });
