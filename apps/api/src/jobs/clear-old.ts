import { RETENTION_SETTINGS } from "@heelward/domain/retention";
import { localDateOf, MS_PER_DAY } from "@heelward/domain/time";
import { ownSettings } from "../features/settings/values.ts";
import type { SystemWork } from "./as-system.ts";

/** So many rows in one transaction, so that none takes long. */
const AT_ONCE = 5000;

/** What was cleared, and whether there is more. */
export interface Cleared {
  readonly letters: number;
  readonly answers: number;
  readonly isMore: boolean;
}

/**
 * Clears what only served to send a letter or to repeat a request, once the practice's own terms are
 * over: addressee and errors of letters that went out or were given up, and kept answers. That a
 * letter went out, and when, stays. Safe to run twice.
 */
export const clearOld = async (work: SystemWork): Promise<Cleared> => {
  const { tx, practiceId, nowMs } = work;
  const { timeZone } = await tx.practice.findUniqueOrThrow({ where: { id: practiceId } });
  const { letterDays, repeatedRequestDays } = await ownSettings(
    work,
    RETENTION_SETTINGS,
    localDateOf(nowMs, timeZone),
  );
  const before = (days: number): Date => new Date(nowMs - days * MS_PER_DAY);
  const letters = await tx.$executeRaw`
    UPDATE outbox SET payload = '{}', sealed_secret = NULL, last_error = NULL
    WHERE (practice_id, id) IN (
      SELECT practice_id, id FROM outbox
      WHERE coalesce(sent_at, dropped_at) < ${before(letterDays.value)} AND payload <> '{}'
      ORDER BY id LIMIT ${AT_ONCE} FOR UPDATE SKIP LOCKED)`;
  const answers = await tx.$executeRaw`
    DELETE FROM idempotency_keys WHERE (practice_id, person_id, key) IN (
      SELECT practice_id, person_id, key FROM idempotency_keys
      WHERE created_at < ${before(repeatedRequestDays.value)}
      LIMIT ${AT_ONCE} FOR UPDATE SKIP LOCKED)`;
  return { letters, answers, isMore: letters === AT_ONCE || answers === AT_ONCE };
};
