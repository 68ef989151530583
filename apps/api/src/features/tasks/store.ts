import type { CaseTask } from "@heelward/contracts";
import { Prisma, type Transaction } from "../../database/client.ts";

export interface CaseTaskRow extends Omit<CaseTask, "state" | "opensOn" | "dueOn" | "doneAt"> {
  readonly opensOn: string;
  readonly dueOn: string;
  readonly doneAt: Date | null;
  readonly setAside: boolean;
  /** A film of that foot was taken on or after the day the task opens. */
  readonly hasFilm: boolean;
  readonly timeZone: string;
}

/** Whether a film that a task asks for has been taken; `t` is the task, `y` its yard. */
export const filmTaken: Prisma.Sql = Prisma.sql`(t.kind = 'film' AND EXISTS (
  SELECT 1 FROM radiographs r WHERE r.practice_id = t.practice_id AND r.horse_id = t.horse_id AND (t.foot IS NULL OR r.foot = t.foot)
    AND (r.taken_at AT TIME ZONE y.time_zone)::date >= t.opens_on))`;

/** Tasks of a case by due day, open ones first. */
export const findCaseTasks = (
  tx: Transaction,
  filter: { readonly id?: string; readonly caseId?: string },
): Promise<CaseTaskRow[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.id !== undefined) conditions.push(Prisma.sql`t.id = ${filter.id}::uuid`);
  if (filter.caseId !== undefined) conditions.push(Prisma.sql`t.case_id = ${filter.caseId}::uuid`);
  return tx.$queryRaw<CaseTaskRow[]>`
    SELECT t.id, t.horse_id AS "horseId", t.case_id AS "caseId", t.kind, t.for_role AS "forRole", t.foot, t.title, t.detail, t.opens_on::text AS "opensOn", t.due_on::text AS "dueOn",
      t.ref_type AS "refType", t.ref_id AS "refId", CASE WHEN p.id IS NULL THEN NULL ELSE json_build_object('id', p.id, 'name', p.name) END AS "doneBy", t.done_at AS "doneAt",
      t.set_aside AS "setAside", t.outcome, t.photo_ids AS "photoIds", t.version, y.time_zone AS "timeZone", ${filmTaken} AS "hasFilm"
    FROM case_tasks t JOIN horses h ON h.practice_id = t.practice_id AND h.id = t.horse_id JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
    LEFT JOIN people p ON p.practice_id = t.practice_id AND p.id = t.done_by
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY t.done_at IS NOT NULL, t.due_on, t.id LIMIT 200`;
};

/** Locks a task for a change and gives its version. */
export const lockCaseTask = async (tx: Transaction, id: string): Promise<number | null> => {
  const [row] = await tx.$queryRaw<
    { version: number }[]
  >`SELECT version FROM case_tasks WHERE id = ${id}::uuid FOR UPDATE`;
  return row?.version ?? null;
};
