import { z } from "zod";
import type { Transaction } from "../../database/client.ts";
import { canonicalText, sha256Hex } from "../../records/canonical.ts";
import type { CalendarDate } from "./dates.ts";

const when = z.union([
  z.object({ startMs: z.number(), endMs: z.number() }),
  z.object({ on: z.string() }),
]);
const stored = z.object({
  uid: z.string(),
  summary: z.string(),
  place: z.string(),
  note: z.string(),
  when,
});

/** A date with what calendar programs need to follow its changes. */
export interface CalendarEntry {
  readonly date: CalendarDate;
  /** Counts every change (RFC 5545, 3.8.7.4). */
  readonly sequence: number;
  readonly changedAt: Date;
  readonly isCancelled: boolean;
}

const KEEP_CANCELLED_MS = 30 * 86_400_000;

const endMs = ({ when: at }: CalendarDate): number =>
  "on" in at ? Date.parse(`${at.on}T00:00:00Z`) + 2 * 86_400_000 : at.endMs;

/**
 * Compares a person's dates with what the calendar showed before: a changed date gets the next
 * sequence number; one that is gone stays for a month as cancelled, so that programs take it out. What
 * is over simply stops being told: it was not cancelled.
 */
export const follow = async (
  tx: Transaction,
  practiceId: string,
  personId: string,
  dates: readonly CalendarDate[],
  nowMs: number,
): Promise<readonly CalendarEntry[]> => {
  const now = new Date(nowMs);
  // Two programs reading at once must not both count a change.
  await tx.$queryRaw`SELECT 1 FROM people WHERE id = ${personId}::uuid FOR UPDATE`;
  const before = new Map(
    (await tx.calendarEntry.findMany({ where: { personId } })).map((row) => [row.uid, row]),
  );
  const current = new Set(dates.map((date) => date.uid));
  const entries: CalendarEntry[] = [];
  const write = async (entry: CalendarEntry, fingerprint: string): Promise<void> => {
    const { date, sequence, changedAt, isCancelled } = entry;
    const data = {
      sequence,
      fingerprint,
      event: JSON.parse(JSON.stringify(date)) as object,
      changedAt,
      cancelledAt: isCancelled ? changedAt : null,
    };
    const key = { practiceId, personId, uid: date.uid };
    await tx.calendarEntry.upsert({
      where: { practiceId_personId_uid: key },
      create: { ...key, ...data },
      update: data,
    });
  };
  for (const date of dates) {
    const fingerprint = sha256Hex(canonicalText({ ...date }));
    const row = before.get(date.uid);
    const isSame = row !== undefined && row.fingerprint === fingerprint && row.cancelledAt === null;
    const entry: CalendarEntry = {
      date,
      sequence: row === undefined ? 0 : isSame ? row.sequence : row.sequence + 1,
      changedAt: isSame ? row.changedAt : now,
      isCancelled: false,
    };
    entries.push(entry);
    // One row after the other: there are few changes between two readings.
    // oxlint-disable-next-line no-await-in-loop
    if (!isSame) await write(entry, fingerprint);
  }
  for (const row of before.values()) {
    if (current.has(row.uid)) continue;
    const date = stored.parse(row.event);
    const isGone =
      row.cancelledAt === null
        ? endMs(date) < nowMs
        : row.cancelledAt.getTime() + KEEP_CANCELLED_MS < nowMs;
    if (isGone) {
      // oxlint-disable-next-line no-await-in-loop
      await tx.calendarEntry.deleteMany({ where: { personId, uid: row.uid } });
      continue;
    }
    const entry: CalendarEntry = {
      date,
      sequence: row.cancelledAt === null ? row.sequence + 1 : row.sequence,
      changedAt: row.cancelledAt ?? now,
      isCancelled: true,
    };
    entries.push(entry);
    // oxlint-disable-next-line no-await-in-loop
    if (row.cancelledAt === null) await write(entry, row.fingerprint);
  }
  return entries;
};
