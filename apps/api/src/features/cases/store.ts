import type { CaseItem, CaseView, TimelineEvent } from "@heelward/contracts";
import { Prisma, type Transaction } from "../../database/client.ts";
import { isoDayOrNull, isoOrNull } from "../../http/dates.ts";

interface CaseRow extends Omit<
  CaseView,
  | "phaseSince"
  | "openedAt"
  | "closedAt"
  | "dueOn"
  | "onsetAt"
  | "displacedAt"
  | "soundWithoutReliefSince"
> {
  readonly phaseSince: Date;
  readonly openedAt: Date;
  readonly closedAt: Date | null;
  readonly dueOn: Date | null;
  readonly onsetAt: Date | null;
  readonly displacedAt: Date | null;
  readonly soundWithoutReliefSince: Date | null;
}

const select = (where: Prisma.Sql, limit: number): Prisma.Sql => Prisma.sql`
  SELECT c.id, c.number, json_build_object('id', h.id, 'name', h.name, 'type', h.type) AS horse, json_build_object('id', y.id, 'name', y.name) AS yard,
    c.phase, c.phase_since AS "phaseSince", c.cause, c.opened_at AS "openedAt", c.closed_at AS "closedAt",
    CASE WHEN v.id IS NULL THEN NULL ELSE json_build_object('id', v.id, 'name', v.name) END AS "leadVet",
    CASE WHEN f.id IS NULL THEN NULL ELSE json_build_object('id', f.id, 'name', f.name) END AS farrier,
    (SELECT r.due_on FROM resets r WHERE r.practice_id = c.practice_id AND r.horse_id = c.horse_id AND r.status IN ('open', 'booked')) AS "dueOn", c.version,
    c.cause_confidence AS "causeConfidence", c.onset_at AS "onsetAt", c.displaced_at AS "displacedAt", c.sound_without_relief_since AS "soundWithoutReliefSince",
    c.feet_affected AS "feetAffected", c.summary, c.close_reason AS "closeReason", c.close_note AS "closeNote"
  FROM cases c JOIN horses h ON h.practice_id = c.practice_id AND h.id = c.horse_id
  JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
  LEFT JOIN people v ON v.practice_id = c.practice_id AND v.id = c.lead_vet_id
  LEFT JOIN people f ON f.practice_id = h.practice_id AND f.id = h.farrier_id
  WHERE ${where} ORDER BY c.opened_at DESC, c.id DESC LIMIT ${limit}`;

const toCase = (row: CaseRow): CaseView => ({
  ...row,
  phaseSince: row.phaseSince.toISOString(),
  openedAt: row.openedAt.toISOString(),
  closedAt: isoOrNull(row.closedAt),
  dueOn: isoDayOrNull(row.dueOn),
  onsetAt: isoOrNull(row.onsetAt),
  displacedAt: isoOrNull(row.displacedAt),
  soundWithoutReliefSince: isoDayOrNull(row.soundWithoutReliefSince),
});

export interface CaseFilter {
  readonly phase?: string | undefined;
  readonly isOpen?: boolean | undefined;
  readonly horseId?: string | undefined;
  readonly yardId?: string | undefined;
  readonly q?: string | undefined;
  readonly after: readonly string[] | null;
  readonly limit: number;
}

export const findCases = async (tx: Transaction, filter: CaseFilter): Promise<CaseItem[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.phase !== undefined) conditions.push(Prisma.sql`c.phase = ${filter.phase}`);
  if (filter.isOpen !== undefined)
    conditions.push(
      filter.isOpen ? Prisma.sql`c.phase <> 'closed'` : Prisma.sql`c.phase = 'closed'`,
    );
  if (filter.horseId !== undefined)
    conditions.push(Prisma.sql`c.horse_id = ${filter.horseId}::uuid`);
  if (filter.yardId !== undefined) conditions.push(Prisma.sql`h.yard_id = ${filter.yardId}::uuid`);
  if (filter.q !== undefined)
    conditions.push(Prisma.sql`h.name ILIKE ${`%${filter.q.replaceAll(/[\\%_]/g, "\\$&")}%`}`);
  if (filter.after !== null)
    conditions.push(
      Prisma.sql`(c.opened_at, c.id) < (${new Date(filter.after[0] ?? 0)}, ${filter.after[1]}::uuid)`,
    );
  const rows = await tx.$queryRaw<CaseRow[]>(
    select(Prisma.join(conditions, " AND "), filter.limit),
  );
  return rows.map(toCase);
};

export const findCase = async (tx: Transaction, id: string): Promise<CaseView | null> => {
  const [row] = await tx.$queryRaw<CaseRow[]>(select(Prisma.sql`c.id = ${id}::uuid`, 1));
  return row === undefined ? null : toCase(row);
};

/** Locks a case for a change. */
export const lockCase = async (tx: Transaction, id: string) => {
  const [row] = await tx.$queryRaw<{ version: number; phase: string; horseId: string }[]>`
    SELECT version, phase, horse_id AS "horseId" FROM cases WHERE id = ${id}::uuid FOR UPDATE`;
  return row ?? null;
};

/** The horse's open case, locked, so that two calls at once do not open two. */
export const lockOpenCase = async (tx: Transaction, horseId: string): Promise<string | null> => {
  await tx.$executeRaw`SELECT pg_advisory_xact_lock(hashtextextended(${horseId}, 0))`;
  const [row] = await tx.$queryRaw<
    { id: string }[]
  >`SELECT id FROM cases WHERE horse_id = ${horseId}::uuid AND phase <> 'closed' FOR UPDATE`;
  return row?.id ?? null;
};

/** The next number of the practice; the practice row is locked so that no two cases share one. */
export const nextCaseNumber = async (tx: Transaction, practiceId: string): Promise<number> => {
  await tx.$executeRaw`SELECT pg_advisory_xact_lock(hashtextextended(${`case ${practiceId}`}, 0))`;
  const [row] = await tx.$queryRaw<
    { number: number }[]
  >`SELECT next_case_number(${practiceId}::uuid) AS number`;
  return row?.number ?? 1;
};

interface EventRow extends Omit<TimelineEvent, "at" | "receivedAt"> {
  readonly at: Date;
  readonly receivedAt: Date;
}

export const findEvents = async (
  tx: Transaction,
  caseId: string,
  filter: {
    readonly kind?: string | undefined;
    readonly after: readonly string[] | null;
    readonly limit: number;
  },
): Promise<TimelineEvent[]> => {
  const conditions = [Prisma.sql`e.case_id = ${caseId}::uuid`];
  if (filter.kind !== undefined) conditions.push(Prisma.sql`e.kind = ${filter.kind}`);
  if (filter.after !== null)
    conditions.push(
      Prisma.sql`(e.at, e.id) < (${new Date(filter.after[0] ?? 0)}, ${filter.after[1]}::uuid)`,
    );
  const rows = await tx.$queryRaw<EventRow[]>`
    SELECT e.id, e.at, e.created_at AS "receivedAt", e.kind, e.title, e.detail, e.data, e.ref_type AS "refType", e.ref_id AS "refId",
      CASE WHEN p.id IS NULL THEN NULL ELSE json_build_object('id', p.id, 'name', p.name) END AS person
    FROM case_events e LEFT JOIN people p ON p.practice_id = e.practice_id AND p.id = e.person_id
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY e.at DESC, e.id DESC LIMIT ${filter.limit}`;
  return rows.map((row) => ({
    ...row,
    at: row.at.toISOString(),
    receivedAt: row.receivedAt.toISOString(),
  }));
};
