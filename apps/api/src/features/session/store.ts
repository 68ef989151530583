import type { Transaction } from "../../database/client.ts";

/** The account with exactly this e-mail, locked for the sign-in attempt. Needs a signing-in transaction. */
export const lockAccount = async (tx: Transaction, email: string) => {
  const [row] = await tx.$queryRaw<
    {
      practiceId: string;
      id: string;
      passwordHash: string | null;
      status: string;
      failedSignIns: number;
      lockedUntil: Date | null;
    }[]
  >`
    SELECT practice_id AS "practiceId", id, password_hash AS "passwordHash", status, failed_sign_ins AS "failedSignIns", locked_until AS "lockedUntil"
    FROM people WHERE lower(email) = lower(${email}) FOR UPDATE`;
  return row ?? null;
};

/** The link to a new password with this token, locked. Needs a signing-in transaction. */
export const lockPasswordReset = async (tx: Transaction, tokenHash: string) => {
  const [row] = await tx.$queryRaw<
    { practiceId: string; id: string; personId: string; expiresAt: Date; usedAt: Date | null }[]
  >`
    SELECT practice_id AS "practiceId", id, person_id AS "personId", expires_at AS "expiresAt", used_at AS "usedAt"
    FROM password_resets WHERE token_hash = ${tokenHash} FOR UPDATE`;
  return row ?? null;
};

/** The session that has or had this refresh token, locked. Needs a signing-in transaction. */
export const lockSessionByToken = async (tx: Transaction, tokenHash: string) => {
  const [row] = await tx.$queryRaw<
    {
      practiceId: string;
      id: string;
      personId: string;
      tokenHash: string;
      expiresAt: Date;
      revokedAt: Date | null;
      authenticatedAt: Date;
    }[]
  >`
    SELECT practice_id AS "practiceId", id, person_id AS "personId", token_hash AS "tokenHash", expires_at AS "expiresAt", revoked_at AS "revokedAt", authenticated_at AS "authenticatedAt"
    FROM sessions WHERE token_hash = ${tokenHash} OR ${tokenHash} = ANY (used_tokens) FOR UPDATE`;
  return row ?? null;
};

export const readPersonAndPractice = async (
  tx: Transaction,
  practiceId: string,
  personId: string,
) => {
  const person = await tx.person.findUniqueOrThrow({
    where: { practiceId_id: { practiceId, id: personId } },
  });
  const practice = await tx.practice.findUniqueOrThrow({ where: { id: practiceId } });
  return { person, practice };
};
