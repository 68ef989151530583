import type { Yard } from "@heelward/contracts";
import { Prisma, type Transaction } from "../../database/client.ts";
import { isoDay } from "../../http/dates.ts";

interface YardRow extends Omit<Yard, "closedOn"> {
  readonly closedOn: readonly Date[];
}

const select = (where: Prisma.Sql, limit: number): Prisma.Sql => Prisma.sql`
  SELECT y.id, y.name, y.address, y.lat, y.lon, y.time_zone AS "timeZone", y.phone, y.access_notes AS "accessNotes",
    y.surface, y.signal, y.weighing, y.opening, y.closed_on AS "closedOn", y.version,
    coalesce((SELECT json_agg(json_build_object('id', p.id, 'name', p.name) ORDER BY p.name, p.id)
      FROM yard_people yp JOIN people p ON p.practice_id = yp.practice_id AND p.id = yp.person_id
      WHERE yp.practice_id = y.practice_id AND yp.yard_id = y.id), '[]') AS people,
    (SELECT count(*)::int FROM horses h WHERE h.practice_id = y.practice_id AND h.yard_id = y.id) AS "horseCount"
  FROM yards y WHERE ${where} ORDER BY lower(y.name), y.id LIMIT ${limit}`;

const toYard = (row: YardRow): Yard => ({ ...row, closedOn: row.closedOn.map(isoDay) });

/** Up to `limit` yards by name, after the cursor's name and id. */
export const findYards = async (
  tx: Transaction,
  filter: {
    readonly q?: string | undefined;
    readonly after: readonly string[] | null;
    readonly limit: number;
  },
): Promise<Yard[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.q !== undefined)
    conditions.push(Prisma.sql`y.name ILIKE ${`%${filter.q.replaceAll(/[\\%_]/g, "\\$&")}%`}`);
  if (filter.after !== null)
    conditions.push(
      Prisma.sql`(lower(y.name), y.id) > (${filter.after[0]}, ${filter.after[1]}::uuid)`,
    );
  const rows = await tx.$queryRaw<YardRow[]>(
    select(Prisma.join(conditions, " AND "), filter.limit),
  );
  return rows.map(toYard);
};

export const findYard = async (tx: Transaction, id: string): Promise<Yard | null> => {
  const [row] = await tx.$queryRaw<YardRow[]>(select(Prisma.sql`y.id = ${id}::uuid`, 1));
  return row === undefined ? null : toYard(row);
};

/** Locks a yard for a change and gives its version. */
export const lockYard = async (tx: Transaction, id: string): Promise<number | null> => {
  const [row] = await tx.$queryRaw<
    { version: number }[]
  >`SELECT version FROM yards WHERE id = ${id}::uuid FOR UPDATE`;
  return row?.version ?? null;
};

/** The people of `ids` who are active and hold one of `roles`. */
export const countEligible = async (
  tx: Transaction,
  ids: readonly string[],
  roles: readonly string[],
): Promise<number> =>
  tx.person.count({
    where: { id: { in: [...ids] }, status: "active", roles: { hasSome: [...roles] } },
  });

export const replaceYardPeople = async (
  tx: Transaction,
  practiceId: string,
  yardId: string,
  personIds: readonly string[],
): Promise<void> => {
  await tx.yardPerson.deleteMany({ where: { practiceId, yardId } });
  await tx.yardPerson.createMany({
    data: personIds.map((personId) => ({ practiceId, yardId, personId })),
  });
};
