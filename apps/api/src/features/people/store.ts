import type { Transaction } from "../../database/client.ts";
import { Prisma } from "../../database/client.ts";

export const lockPerson = async (tx: Transaction, id: string): Promise<number | null> => {
  const [row] = await tx.$queryRaw<
    { version: number }[]
  >`SELECT version FROM people WHERE id = ${id}::uuid FOR UPDATE`;
  return row?.version ?? null;
};

/** The invitation with this token, locked. Needs a signing-in transaction. */
export const lockInvitation = async (tx: Transaction, tokenHash: string) => {
  const [row] = await tx.$queryRaw<{ practiceId: string; id: string }[]>`
    SELECT practice_id AS "practiceId", id FROM invitations WHERE token_hash = ${tokenHash} FOR UPDATE`;
  return row ?? null;
};

const invitationSelect = (where: Prisma.Sql) => Prisma.sql`
  SELECT i.id, i.email, i.name, i.roles, i.expires_at AS "expiresAt", i.accepted_at AS "acceptedAt", i.withdrawn_at AS "withdrawnAt", i.version,
    json_build_object('id', p.id, 'name', p.name) AS "invitedBy"
  FROM invitations i JOIN people p ON p.practice_id = i.practice_id AND p.id = i.invited_by WHERE ${where} ORDER BY i.created_at DESC, i.id DESC LIMIT 500`;

export interface InvitationRow {
  readonly id: string;
  readonly email: string;
  readonly name: string;
  readonly roles: string[];
  readonly expiresAt: Date;
  readonly acceptedAt: Date | null;
  readonly withdrawnAt: Date | null;
  readonly version: number;
  readonly invitedBy: { readonly id: string; readonly name: string };
}
export const findInvitations = (tx: Transaction): Promise<InvitationRow[]> =>
  tx.$queryRaw(invitationSelect(Prisma.sql`true`));
export const findInvitation = async (
  tx: Transaction,
  id: string,
): Promise<InvitationRow | null> => {
  const [row] = await tx.$queryRaw<InvitationRow[]>(
    invitationSelect(Prisma.sql`i.id = ${id}::uuid`),
  );
  return row ?? null;
};
