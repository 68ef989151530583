import type { Transaction } from "../../database/client.ts";
import { appendAudit, type AuditStamp } from "../../records/audit.ts";

/** Wrong passwords or codes in a row before the account rests. */
const FAILURES_BEFORE_LOCK = 8;
const LOCK_MS = 15 * 60_000;

export const isLocked = (account: { readonly lockedUntil: Date | null }, nowMs: number): boolean =>
  account.lockedUntil !== null && account.lockedUntil.getTime() > nowMs;

/** Counts one wrong password or code, wherever it was entered; the eighth locks the account for a while. */
export const countFailure = async (
  tx: Transaction,
  personId: string,
  stamp: AuditStamp,
): Promise<void> => {
  const [row] = await tx.$queryRaw<{ failed: number }[]>`
    SELECT failed_sign_ins AS failed FROM people WHERE id = ${personId}::uuid FOR UPDATE`;
  const failures = (row?.failed ?? 0) + 1;
  const isNowLocked = failures >= FAILURES_BEFORE_LOCK;
  await tx.person.updateMany({
    where: { id: personId },
    data: {
      failedSignIns: isNowLocked ? 0 : failures,
      ...(isNowLocked ? { lockedUntil: new Date(stamp.atMs + LOCK_MS) } : {}),
    },
  });
  await appendAudit(tx, stamp, [
    {
      event: isNowLocked ? "sign-in.locked" : "sign-in.failed",
      subjectType: "person",
      subjectId: personId,
      horseId: null,
      payload: null,
    },
  ]);
};

export const forgetFailures = async (tx: Transaction, personId: string): Promise<void> => {
  await tx.person.updateMany({
    where: { id: personId },
    data: { failedSignIns: 0, lockedUntil: null },
  });
};
