import type { Examination } from "@heelward/contracts";
import { Prisma, type Transaction } from "../../database/client.ts";

interface ExaminationRow extends Omit<Examination, "examinedAt" | "receivedAt"> {
  readonly examinedAt: Date;
  readonly receivedAt: Date;
}

/** Examinations and care checks, latest first, before the cursor's time and id. */
export const findExaminations = async (
  tx: Transaction,
  filter: {
    readonly id?: string;
    readonly horseId?: string;
    readonly caseId?: string;
    readonly sinceMs?: number;
    readonly after?: readonly string[] | null;
    readonly limit: number;
  },
): Promise<Examination[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.id !== undefined) conditions.push(Prisma.sql`e.id = ${filter.id}::uuid`);
  if (filter.horseId !== undefined)
    conditions.push(Prisma.sql`e.horse_id = ${filter.horseId}::uuid`);
  if (filter.caseId !== undefined) conditions.push(Prisma.sql`e.case_id = ${filter.caseId}::uuid`);
  if (filter.sinceMs !== undefined)
    conditions.push(Prisma.sql`e.examined_at >= ${new Date(filter.sinceMs)}`);
  if (filter.after !== undefined && filter.after !== null)
    conditions.push(
      Prisma.sql`(e.examined_at, e.id) < (${new Date(filter.after[0] ?? 0)}, ${filter.after[1]}::uuid)`,
    );
  const rows = await tx.$queryRaw<ExaminationRow[]>`
    SELECT e.id, e.horse_id AS "horseId", e.case_id AS "caseId", e.kind, e.examined_at AS "examinedAt", e.created_at AS "receivedAt", json_build_object('id', p.id, 'name', p.name) AS "examinedBy",
      e.obel_grade AS "obelGrade", e.five_sign_score AS "fiveSignScore", e.lameness_grade AS "lamenessGrade", e.digital_pulses AS "digitalPulses", e.hoof_heat AS "hoofHeat",
      e.heart_rate_per_minute AS "heartRatePerMinute", e.respiration_per_minute AS "respirationPerMinute", e.temperature_c AS "temperatureC", e.body_condition AS "bodyCondition",
      e.cresty_neck AS "crestyNeck", e.signs, e.notes, e.findings, e.is_red_flag AS "isRedFlag"
    FROM examinations e JOIN people p ON p.practice_id = e.practice_id AND p.id = e.examined_by
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY e.examined_at DESC, e.id DESC LIMIT ${filter.limit}`;
  return rows.map((row) => ({
    ...row,
    examinedAt: row.examinedAt.toISOString(),
    receivedAt: row.receivedAt.toISOString(),
  }));
};
