import { Prisma, type Transaction } from "../../database/client.ts";

export interface NoteRow {
  readonly id: string;
  readonly horse: { readonly id: string; readonly name: string };
  readonly caseId: string | null;
  readonly cause: string;
  readonly fromPerson: { readonly id: string; readonly name: string };
  readonly fromRole: string;
  readonly toRole: string;
  readonly toPerson: { readonly id: string; readonly name: string } | null;
  readonly urgent: boolean;
  readonly situation: string;
  readonly found: string | null;
  readonly done: string | null;
  readonly mustDo: string;
  readonly byWhen: string | null;
  readonly callMeIf: string | null;
  readonly writtenAt: Date;
  readonly happenedAt: Date | null;
  readonly acknowledgeBy: Date;
  readonly acknowledgedBy: { readonly id: string; readonly name: string } | null;
  readonly acknowledgedAt: Date | null;
  readonly answer: string | null;
  readonly refType: string | null;
  readonly refId: string | null;
  readonly version: number;
}

export interface NoteFilter {
  readonly id?: string;
  readonly caseId?: string | undefined;
  readonly isOpen?: boolean | undefined;
  /** Notes to or from these roles only. */
  readonly roles?: readonly string[];
  readonly after?: readonly string[] | null;
  readonly limit: number;
}

/** Notes, newest first, before the cursor's time and id. */
export const findNotes = (tx: Transaction, filter: NoteFilter): Promise<NoteRow[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.id !== undefined) conditions.push(Prisma.sql`n.id = ${filter.id}::uuid`);
  if (filter.caseId !== undefined) conditions.push(Prisma.sql`n.case_id = ${filter.caseId}::uuid`);
  if (filter.isOpen !== undefined)
    conditions.push(
      filter.isOpen
        ? Prisma.sql`n.acknowledged_at IS NULL`
        : Prisma.sql`n.acknowledged_at IS NOT NULL`,
    );
  if (filter.roles !== undefined)
    conditions.push(
      Prisma.sql`(n.to_role = ANY (${[...filter.roles]}) OR n.from_role = ANY (${[...filter.roles]}))`,
    );
  if (filter.after !== undefined && filter.after !== null)
    conditions.push(
      Prisma.sql`(n.written_at, n.id) < (${new Date(filter.after[0] ?? 0)}, ${filter.after[1]}::uuid)`,
    );
  return tx.$queryRaw<NoteRow[]>`
    SELECT n.id, json_build_object('id', h.id, 'name', h.name) AS horse, n.case_id AS "caseId", n.cause, json_build_object('id', f.id, 'name', f.name) AS "fromPerson",
      n.from_role AS "fromRole", n.to_role AS "toRole", CASE WHEN t.id IS NULL THEN NULL ELSE json_build_object('id', t.id, 'name', t.name) END AS "toPerson",
      n.urgent, n.situation, n.found, n.done, n.must_do AS "mustDo", n.by_when AS "byWhen", n.call_me_if AS "callMeIf", n.written_at AS "writtenAt", n.happened_at AS "happenedAt",
      n.acknowledge_by AS "acknowledgeBy", CASE WHEN a.id IS NULL THEN NULL ELSE json_build_object('id', a.id, 'name', a.name) END AS "acknowledgedBy",
      n.acknowledged_at AS "acknowledgedAt", n.answer, n.ref_type AS "refType", n.ref_id AS "refId", n.version
    FROM handoff_notes n JOIN horses h ON h.practice_id = n.practice_id AND h.id = n.horse_id
    JOIN people f ON f.practice_id = n.practice_id AND f.id = n.from_person
    LEFT JOIN people t ON t.practice_id = n.practice_id AND t.id = n.to_person
    LEFT JOIN people a ON a.practice_id = n.practice_id AND a.id = n.acknowledged_by
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY n.written_at DESC, n.id DESC LIMIT ${filter.limit}`;
};

export const lockNote = async (tx: Transaction, id: string) => {
  const [row] = await tx.$queryRaw<
    { version: number; acknowledgedAt: Date | null; toRole: string; toPerson: string | null }[]
  >`
    SELECT version, acknowledged_at AS "acknowledgedAt", to_role AS "toRole", to_person AS "toPerson" FROM handoff_notes WHERE id = ${id}::uuid FOR UPDATE`;
  return row ?? null;
};
