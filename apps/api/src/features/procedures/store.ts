import type { Procedure } from "@heelward/contracts";
import { Prisma, type Transaction } from "../../database/client.ts";

export interface ProcedureRow extends Omit<Procedure, "requestedAt" | "signedAt" | "doneAt"> {
  readonly requestedAt: Date;
  readonly signedAt: Date | null;
  readonly doneAt: Date | null;
  readonly horseName: string;
}

const personOf = (alias: Prisma.Sql) =>
  Prisma.sql`CASE WHEN ${alias}.id IS NULL THEN NULL ELSE json_build_object('id', ${alias}.id, 'name', ${alias}.name) END`;

/** Procedures, newest first. */
export const findProcedures = (
  tx: Transaction,
  filter: { readonly id?: string; readonly caseId?: string; readonly status?: Procedure["status"] },
): Promise<ProcedureRow[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.id !== undefined) conditions.push(Prisma.sql`x.id = ${filter.id}::uuid`);
  if (filter.caseId !== undefined) conditions.push(Prisma.sql`x.case_id = ${filter.caseId}::uuid`);
  if (filter.status !== undefined) conditions.push(Prisma.sql`x.status = ${filter.status}`);
  return tx.$queryRaw<ProcedureRow[]>`
    SELECT x.id, x.horse_id AS "horseId", h.name AS "horseName", x.case_id AS "caseId", x.foot, x.kind, x.reason, x.radiograph_id AS "radiographId", x.outline_id AS "outlineId", x.status,
      ${personOf(Prisma.sql`q`)} AS "requestedBy", x.requested_at AS "requestedAt", x.findings, x.aftercare, x.aftercare_days AS "aftercareDays", x.photo_ids AS "photoIds", x.consent, ${personOf(Prisma.sql`s`)} AS "signedBy", x.signed_at AS "signedAt",
      x.signature, x.signed_text AS "signedText", x.signing_key_id AS "signingKeyId", ${personOf(Prisma.sql`d`)} AS "doneBy", x.done_at AS "doneAt", x.found, x.declined_reason AS "declinedReason", x.version
    FROM procedures x JOIN horses h ON h.practice_id = x.practice_id AND h.id = x.horse_id JOIN people q ON q.practice_id = x.practice_id AND q.id = x.requested_by
    LEFT JOIN people s ON s.practice_id = x.practice_id AND s.id = x.signed_by LEFT JOIN people d ON d.practice_id = x.practice_id AND d.id = x.done_by
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY x.requested_at DESC, x.id LIMIT 100`;
};

/** Locks a procedure for a change and gives its version. */
export const lockProcedure = async (tx: Transaction, id: string): Promise<number | null> => {
  const [row] = await tx.$queryRaw<
    { version: number }[]
  >`SELECT version FROM procedures WHERE id = ${id}::uuid FOR UPDATE`;
  return row?.version ?? null;
};
