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

/** Cases in treatment of horses this person owns. */
export const countOpenCasesOfOwner = async (tx: Transaction, id: string): Promise<number> => {
  const [row] = await tx.$queryRaw<{ count: number }[]>`
    SELECT count(*)::int AS count FROM horse_people o JOIN cases c ON c.practice_id = o.practice_id AND c.horse_id = o.horse_id
    WHERE o.person_id = ${id}::uuid AND c.phase <> 'closed'`;
  return row?.count ?? 0;
};

/** When this person last put something on a horse's record; null for somebody who only read it. */
export const lastRecordBy = async (tx: Transaction, id: string): Promise<Date | null> => {
  const [row] = await tx.$queryRaw<{ at: Date | null }[]>`
    SELECT max(a.at) AS at FROM audit_entries a JOIN people p ON p.practice_id = a.practice_id AND p.id = a.actor_id
    WHERE a.actor_id = ${id}::uuid AND a.horse_id IS NOT NULL AND p.roles && ARRAY['vet', 'farrier', 'manager', 'carer']`;
  return row?.at ?? null;
};

/** Puts another name and no number into calls this person made about the own horses; says how many. */
export const eraseCaller = (
  tx: Transaction,
  { personId, name, as }: { readonly personId: string; readonly name: string; readonly as: string },
): Promise<number> => tx.$executeRaw`
  UPDATE phone_calls c SET caller = ${as}, caller_phone = NULL FROM horse_people o
  WHERE o.practice_id = c.practice_id AND o.horse_id = c.horse_id AND o.person_id = ${personId}::uuid AND lower(c.caller) = lower(${name})`;

/** Everything that only served to reach this person or to let them in. */
export const eraseTraces = async (
  tx: Transaction,
  { personId, email, at }: { readonly personId: string; readonly email: string; readonly at: Date },
): Promise<void> => {
  await tx.$executeRaw`UPDATE sessions SET revoked_at = coalesce(revoked_at, ${at}), user_agent = NULL WHERE person_id = ${personId}::uuid`;
  await tx.$executeRaw`UPDATE calendar_feeds SET revoked_at = coalesce(revoked_at, ${at}) WHERE person_id = ${personId}::uuid`;
  await tx.$executeRaw`DELETE FROM second_factors WHERE person_id = ${personId}::uuid`;
  await tx.$executeRaw`
    UPDATE outbox SET payload = jsonb_set(payload, '{to}', '"erased"'), sealed_secret = NULL,
      dropped_at = CASE WHEN sent_at IS NULL THEN coalesce(dropped_at, ${at}) ELSE dropped_at END,
      dropped_because = CASE WHEN sent_at IS NULL THEN coalesce(dropped_because, 'the person was erased') ELSE dropped_because END
    WHERE lower(payload->>'to') = lower(${email})`;
  await tx.$executeRaw`
    UPDATE invitations SET email = id || '@erased.invalid', name = 'Erased person', registration_number = NULL,
      withdrawn_at = CASE WHEN accepted_at IS NULL THEN coalesce(withdrawn_at, ${at}) ELSE withdrawn_at END
    WHERE lower(email) = lower(${email})`;
  await tx.$executeRaw`DELETE FROM horse_people WHERE person_id = ${personId}::uuid`;
  await tx.$executeRaw`DELETE FROM yard_people WHERE person_id = ${personId}::uuid`;
};
