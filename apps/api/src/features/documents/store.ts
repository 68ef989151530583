import type { DocumentView } from "@heelward/contracts";
import { Prisma, type Transaction } from "../../database/client.ts";

interface DocumentRow extends Omit<DocumentView, "takenAt" | "receivedAt"> {
  readonly takenAt: Date;
  readonly receivedAt: Date;
}

/** Photos and papers, latest first, before the cursor's time and id. */
export const findDocuments = async (
  tx: Transaction,
  filter: {
    readonly id?: string;
    readonly horseId?: string;
    readonly caseId?: string;
    readonly after?: readonly string[] | null;
    readonly limit: number;
  },
): Promise<DocumentView[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.id !== undefined) conditions.push(Prisma.sql`d.id = ${filter.id}::uuid`);
  if (filter.horseId !== undefined)
    conditions.push(Prisma.sql`d.horse_id = ${filter.horseId}::uuid`);
  if (filter.caseId !== undefined) conditions.push(Prisma.sql`d.case_id = ${filter.caseId}::uuid`);
  if (filter.after !== undefined && filter.after !== null)
    conditions.push(
      Prisma.sql`(d.taken_at, d.id) < (${new Date(filter.after[0] ?? 0)}, ${filter.after[1]}::uuid)`,
    );
  const rows = await tx.$queryRaw<DocumentRow[]>`
    SELECT d.id, d.horse_id AS "horseId", d.case_id AS "caseId", d.kind, d.file_name AS "fileName", d.media_type AS "mediaType", d.sha256, d.size_bytes AS "sizeBytes", d.taken_at AS "takenAt", d.created_at AS "receivedAt", d.photo_view AS "photoView",
      json_build_object('id', p.id, 'name', p.name) AS "addedBy", d.caption, d.for_owner AS "forOwner"
    FROM documents d JOIN people p ON p.practice_id = d.practice_id AND p.id = d.added_by
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY d.taken_at DESC, d.id DESC LIMIT ${filter.limit}`;
  return rows.map((row) => ({
    ...row,
    takenAt: row.takenAt.toISOString(),
    receivedAt: row.receivedAt.toISOString(),
  }));
};
