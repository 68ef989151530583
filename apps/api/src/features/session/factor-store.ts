import type { Transaction } from "../../database/client.ts";
import { newId } from "../../http/new-id.ts";
import type { KeptPasskey } from "./passkeys.ts";

/** What a challenge is for; one made for enrolment opens no session. */
export type Purpose = "enrolment" | "sign-in" | "confirmation";
const CHALLENGE_MS = 5 * 60_000;

/** A person's factors and recovery codes, locked, so that no code is used twice at once. */
export const lockFactors = async (tx: Transaction, personId: string) => {
  await tx.$executeRaw`SELECT 1 FROM second_factors WHERE person_id = ${personId}::uuid FOR UPDATE`;
  return tx.secondFactor.findMany({
    where: { personId },
    orderBy: [{ createdAt: "asc" }, { id: "asc" }],
  });
};
export type FactorRow = Awaited<ReturnType<typeof lockFactors>>[number];

/** The same without the lock, for reading. */
export const findFactors = (tx: Transaction, personId: string): Promise<FactorRow[]> =>
  tx.secondFactor.findMany({
    where: { personId },
    orderBy: [{ createdAt: "asc" }, { id: "asc" }],
  });

/** Apps and passkeys that count: an app without its first code does not. */
export const inForce = (rows: readonly FactorRow[]): readonly FactorRow[] =>
  rows.filter((row) => row.kind !== "recovery code" && row.confirmedAt !== null);

export const asPasskey = (row: FactorRow): KeptPasskey => ({
  credentialId: row.credentialId ?? "",
  publicKey: row.publicKey ?? "",
  counter: row.counter,
  transports: row.transports,
});

/** Keeps a challenge and forgets those of the person that ran out. */
export const keepChallenge = async (
  tx: Transaction,
  to: { readonly practiceId: string; readonly personId: string; readonly nowMs: number },
  purpose: Purpose,
  challenge: string,
): Promise<void> => {
  await tx.passkeyChallenge.deleteMany({
    where: { personId: to.personId, expiresAt: { lt: new Date(to.nowMs) } },
  });
  await tx.passkeyChallenge.create({
    data: {
      practiceId: to.practiceId,
      id: newId(),
      personId: to.personId,
      purpose,
      challenge,
      expiresAt: new Date(to.nowMs + CHALLENGE_MS),
      createdAt: new Date(to.nowMs),
    },
  });
};

/** Uses a challenge up. False when it is unknown, for something else, too old or used. */
export const takeChallenge = async (
  tx: Transaction,
  of: { readonly personId: string; readonly nowMs: number },
  purpose: Purpose,
  challenge: string,
): Promise<boolean> => {
  const { count } = await tx.passkeyChallenge.deleteMany({
    where: {
      personId: of.personId,
      purpose,
      challenge,
      expiresAt: { gt: new Date(of.nowMs) },
    },
  });
  return count === 1;
};
