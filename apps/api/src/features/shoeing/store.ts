import type { ShoeingRecord } from "@heelward/contracts";
import { Prisma, type Transaction } from "../../database/client.ts";
import { isoDayOrNull, isoOrNull } from "../../http/dates.ts";

interface ShoeingRow extends Omit<
  ShoeingRecord,
  "startedAt" | "doneAt" | "receivedAt" | "nextResetOn"
> {
  readonly startedAt: Date | null;
  readonly doneAt: Date;
  readonly receivedAt: Date;
  readonly nextResetOn: Date | null;
}

/** What was done to the feet, latest first, before the cursor's time and id. */
export const findShoeing = async (
  tx: Transaction,
  filter: {
    readonly id?: string;
    readonly horseId?: string;
    readonly after?: readonly string[] | null;
    readonly limit: number;
  },
): Promise<ShoeingRecord[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.id !== undefined) conditions.push(Prisma.sql`s.id = ${filter.id}::uuid`);
  if (filter.horseId !== undefined)
    conditions.push(Prisma.sql`s.horse_id = ${filter.horseId}::uuid`);
  if (filter.after !== undefined && filter.after !== null)
    conditions.push(
      Prisma.sql`(s.done_at, s.id) < (${new Date(filter.after[0] ?? 0)}, ${filter.after[1]}::uuid)`,
    );
  const rows = await tx.$queryRaw<ShoeingRow[]>`
    SELECT s.id, s.horse_id AS "horseId", s.case_id AS "caseId", s.prescription_id AS "prescriptionId", p.number AS "prescriptionNumber", json_build_object('id', f.id, 'name', f.name) AS farrier,
      s.started_at AS "startedAt", s.done_at AS "doneAt", s.created_at AS "receivedAt", s.as_planned AS "asPlanned", s.feet, s.comparison, s.deviations, s.wedge_removal AS "wedgeRemoval",
      s.comfort_before AS "comfortBefore", s.comfort_after AS "comfortAfter", s.departures, s.notes, s.photo_ids AS "photoIds", s.next_reset_on AS "nextResetOn"
    FROM shoeing_records s JOIN people f ON f.practice_id = s.practice_id AND f.id = s.farrier_id LEFT JOIN prescriptions p ON p.practice_id = s.practice_id AND p.id = s.prescription_id
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY s.done_at DESC, s.id DESC LIMIT ${filter.limit}`;
  return rows.map((row) => ({
    ...row,
    startedAt: isoOrNull(row.startedAt),
    doneAt: row.doneAt.toISOString(),
    receivedAt: row.receivedAt.toISOString(),
    nextResetOn: isoDayOrNull(row.nextResetOn),
  }));
};
