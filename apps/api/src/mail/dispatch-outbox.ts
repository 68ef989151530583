import { z } from "zod";
import { inPractice, type Database } from "../database/client.ts";
import { writeLetter } from "./letters.ts";
import type { Mailer } from "./mailer.ts";
import type { MailRoom } from "./outbox.ts";

export interface PostOffice {
  readonly db: Database;
  readonly mailer: Mailer;
  readonly room: MailRoom;
}

/** Minutes before the next try; after the last one the letter is given up and stays on record. */
const RETRY_MINUTES = [1, 5, 15, 60, 180, 720, 1440] as const;
const MOST_AT_ONCE = 200;
const payload = z.looseObject({ to: z.string() });

type Outcome = "sent" | "dropped" | "failed" | "none";

/**
 * Takes the next letter that is due and sends it. The row stays locked from reading to marking, so two
 * processes never send it both; the mark and the wiped secret are written in the same transaction.
 */
const sendNext = (
  { db, mailer, room }: PostOffice,
  practiceId: string,
  nowMs: number,
): Promise<Outcome> =>
  inPractice(db, { practiceId, personId: null, roles: ["system"] }, async (tx) => {
    const now = new Date(nowMs);
    const [row] = await tx.$queryRaw<
      {
        id: string;
        kind: string;
        payload: unknown;
        sealedSecret: string | null;
        attempts: number;
      }[]
    >`
      SELECT id, kind, payload, sealed_secret AS "sealedSecret", attempts FROM outbox
      WHERE sent_at IS NULL AND dropped_at IS NULL AND next_try_at <= ${now}
      ORDER BY next_try_at, id LIMIT 1 FOR UPDATE SKIP LOCKED`;
    if (row === undefined) return "none";
    const mark = (data: object) => tx.outboxMessage.updateMany({ where: { id: row.id }, data });
    const drop = async (because: string): Promise<Outcome> => {
      await mark({ droppedAt: now, droppedBecause: because, sealedSecret: null });
      return "dropped";
    };
    const read = payload.safeParse(row.payload);
    if (!read.success) return drop("its payload cannot be read");
    let secret: string | null = null;
    try {
      secret = row.sealedSecret === null ? null : room.sealer.open(row.sealedSecret, row.id);
    } catch {
      return drop("its secret was sealed under another key");
    }
    const written = await writeLetter(row.kind, read.data, { tx, practiceId, room, nowMs, secret });
    if ("drop" in written) return drop(written.drop);
    try {
      await mailer.send({ id: row.id, to: read.data.to, ...written });
    } catch (error) {
      const wait = RETRY_MINUTES[row.attempts];
      const lastError = (error instanceof Error ? error.message : String(error)).slice(0, 300);
      await mark({
        attempts: row.attempts + 1,
        lastError,
        ...(wait === undefined
          ? {
              droppedAt: now,
              droppedBecause: "the mail server did not take it",
              sealedSecret: null,
            }
          : { nextTryAt: new Date(nowMs + wait * 60_000) }),
      });
      return "failed";
    }
    await mark({ sentAt: now, attempts: row.attempts + 1, lastError: null, sealedSecret: null });
    return "sent";
  });

/** What became of a practice's letters. */
export interface Dispatched {
  readonly sent: number;
  readonly dropped: number;
  readonly failed: number;
}

/** Sends everything that is due in a practice, one letter a transaction. */
export const dispatchOutbox = async (
  office: PostOffice,
  practiceId: string,
  nowMs: number,
): Promise<Dispatched> => {
  const count = { sent: 0, dropped: 0, failed: 0 };
  for (let turn = 0; turn < MOST_AT_ONCE; turn += 1) {
    // One letter after the other: a mail server takes them one by one.
    // oxlint-disable-next-line no-await-in-loop
    const outcome = await sendNext(office, practiceId, nowMs);
    if (outcome === "none") break;
    count[outcome] += 1;
  }
  return count;
};
