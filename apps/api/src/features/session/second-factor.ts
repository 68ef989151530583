import type { SecondFactor } from "@heelward/contracts";
import type { Transaction } from "../../database/client.ts";
import type { Sealer } from "../../mail/sealer.ts";
import { stepOfCode } from "./app-code.ts";
import * as store from "./factor-store.ts";
import { challengeIn, checkPasskey, questionOptions, type Site } from "./passkeys.ts";
import { hashOfRecoveryCode } from "./recovery-codes.ts";

/** Whose factors, when, and where the dashboard lives. */
export interface Asked {
  readonly practiceId: string;
  readonly personId: string;
  readonly nowMs: number;
  readonly site: Site;
  readonly sealer: Sealer;
}

export type OpenedWith = "app code" | "passkey" | "recovery code";

/** What a sealed key of an app is bound to. */
export const sealedTo = (factorId: string): string => `second-factor:${factorId}`;

/** With what the person can answer, and what their passkeys are to sign. */
export const askForFactor = async (
  tx: Transaction,
  asked: Omit<Asked, "sealer">,
  purpose: store.Purpose,
): Promise<{
  readonly ways: readonly ("app code" | "passkey")[];
  readonly passkeyOptions: Record<string, unknown> | null;
}> => {
  const rows = store.inForce(await store.findFactors(tx, asked.personId));
  const passkeys = rows.filter((row) => row.kind === "passkey").map(store.asPasskey);
  const ways = [
    ...(rows.some((row) => row.kind === "app code") ? (["app code"] as const) : []),
    ...(passkeys.length > 0 ? (["passkey"] as const) : []),
  ];
  if (passkeys.length === 0) return { ways, passkeyOptions: null };
  const options = await questionOptions(asked.site, passkeys);
  await store.keepChallenge(tx, asked, purpose, options.challenge);
  return { ways, passkeyOptions: { ...options } };
};

const useUp = async (
  tx: Transaction,
  row: store.FactorRow,
  nowMs: number,
  counter: bigint,
): Promise<void> => {
  await tx.secondFactor.updateMany({
    where: { id: row.id },
    data: { counter, lastUsedAt: new Date(nowMs) },
  });
};

const checkCode = async (
  tx: Transaction,
  { personId, nowMs, sealer }: Asked,
  rows: readonly store.FactorRow[],
  code: string,
): Promise<OpenedWith | null> => {
  if (!/^\d{6}$/u.test(code)) {
    const hash = hashOfRecoveryCode(personId, code);
    const row = rows.find((one) => one.kind === "recovery code" && one.secret === hash);
    if (row === undefined) return null;
    await tx.secondFactor.deleteMany({ where: { id: row.id } });
    return "recovery code";
  }
  for (const row of store.inForce(rows)) {
    if (row.kind !== "app code" || row.secret === null) continue;
    const key = sealer.open(row.secret, sealedTo(row.id));
    const step = stepOfCode(key, code, nowMs, Number(row.counter));
    if (step === null) continue;
    // The first that fits is the answer; the loop ends here.
    // oxlint-disable-next-line no-await-in-loop
    await useUp(tx, row, nowMs, BigInt(step));
    return "app code";
  }
  return null;
};

/** What was shown, when it fits; null when it does not. A code, a challenge and a recovery code work once. */
export const checkFactor = async (
  tx: Transaction,
  asked: Asked,
  presented: SecondFactor,
  purpose: store.Purpose,
): Promise<OpenedWith | null> => {
  const rows = await store.lockFactors(tx, asked.personId);
  if (presented.kind === "code") return checkCode(tx, asked, rows, presented.code);
  const challenge = challengeIn(presented.answer);
  if (challenge === null || !(await store.takeChallenge(tx, asked, purpose, challenge)))
    return null;
  const row = rows.find((one) => one.credentialId === presented.answer.id);
  if (row === undefined) return null;
  const counter = await checkPasskey(asked.site, challenge, store.asPasskey(row), presented.answer);
  if (counter === null) return null;
  await useUp(tx, row, asked.nowMs, counter);
  return "passkey";
};
