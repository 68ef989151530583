import type { FindingView, LabResult } from "@heelward/contracts";
import { Prisma, type Transaction } from "../../database/client.ts";

interface Person {
  readonly id: string;
  readonly name: string;
}

export interface LabResultRow {
  readonly id: string;
  readonly horseId: string;
  readonly caseId: string | null;
  readonly takenOn: string;
  readonly test: string;
  readonly value: number;
  readonly unit: string;
  readonly assay: string | null;
  readonly laboratory: string | null;
  readonly rangeLow: number | null;
  readonly rangeHigh: number | null;
  readonly cutoff: number | null;
  readonly feeding: string | null;
  readonly protocol: string | null;
  readonly minute: number | null;
  readonly reference: LabResult["reference"];
  readonly reading: string | null;
  readonly note: string | null;
  readonly findings: readonly FindingView[];
  readonly addedBy: Person;
  readonly readBy: Person | null;
  readonly readAt: Date | null;
  readonly releasedAt: Date | null;
  readonly createdAt: Date;
  readonly version: number;
}

/** Laboratory results, latest sample first, before the cursor's day and id. */
export const findLabResults = (
  tx: Transaction,
  filter: {
    readonly id?: string;
    readonly horseId?: string;
    readonly after?: readonly string[] | null;
    readonly limit: number;
  },
): Promise<LabResultRow[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.id !== undefined) conditions.push(Prisma.sql`l.id = ${filter.id}::uuid`);
  if (filter.horseId !== undefined)
    conditions.push(Prisma.sql`l.horse_id = ${filter.horseId}::uuid`);
  if (filter.after !== undefined && filter.after !== null)
    conditions.push(
      Prisma.sql`(l.taken_on, l.id) < (${filter.after[0]}::date, ${filter.after[1]}::uuid)`,
    );
  return tx.$queryRaw<LabResultRow[]>`
    SELECT l.id, l.horse_id AS "horseId", l.case_id AS "caseId", l.taken_on::text AS "takenOn", l.test, l.value, l.unit, l.assay, l.laboratory, l.range_low AS "rangeLow",
      l.range_high AS "rangeHigh", l.cutoff, l.feeding, l.protocol, l.minute, l.reference, l.reading, l.note, l.findings, json_build_object('id', a.id, 'name', a.name) AS "addedBy",
      CASE WHEN r.id IS NULL THEN NULL ELSE json_build_object('id', r.id, 'name', r.name) END AS "readBy", l.read_at AS "readAt", l.released_at AS "releasedAt",
      l.created_at AS "createdAt", l.version
    FROM lab_results l JOIN people a ON a.practice_id = l.practice_id AND a.id = l.added_by
    LEFT JOIN people r ON r.practice_id = l.practice_id AND r.id = l.read_by
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY l.taken_on DESC, l.id DESC LIMIT ${filter.limit}`;
};

/** Locks a result for a change and gives its version. */
export const lockLabResult = async (tx: Transaction, id: string): Promise<number | null> => {
  const [row] = await tx.$queryRaw<
    { version: number }[]
  >`SELECT version FROM lab_results WHERE id = ${id}::uuid FOR UPDATE`;
  return row?.version ?? null;
};
