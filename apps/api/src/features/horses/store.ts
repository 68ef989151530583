import type { HorseItem, Weighing } from "@heelward/contracts";
import { MS_PER_DAY } from "@heelward/domain/time";
import { Prisma, type Transaction } from "../../database/client.ts";

const PEOPLE_OF = Prisma.sql`
  coalesce((SELECT json_agg(json_build_object('id', p.id, 'name', p.name) ORDER BY p.name, p.id) FROM horse_people hp
    JOIN people p ON p.practice_id = hp.practice_id AND p.id = hp.person_id WHERE hp.practice_id = h.practice_id AND hp.horse_id = h.id), '[]')`;
const FARRIER_OF = Prisma.sql`(SELECT json_build_object('id', f.id, 'name', f.name) FROM people f WHERE f.practice_id = h.practice_id AND f.id = h.farrier_id)`;

export interface HorseFilter {
  readonly q?: string | undefined;
  readonly yardId?: string | undefined;
  readonly status?: string | undefined;
  readonly sort: "name" | "-name" | "yard";
  readonly after: readonly string[] | null;
  readonly limit: number;
}

const ORDERS = {
  name: { key: Prisma.sql`lower(h.name)`, comparison: Prisma.sql`>`, direction: Prisma.sql`ASC` },
  "-name": {
    key: Prisma.sql`lower(h.name)`,
    comparison: Prisma.sql`<`,
    direction: Prisma.sql`DESC`,
  },
  yard: {
    key: Prisma.sql`lower(y.name) || ' ' || lower(h.name)`,
    comparison: Prisma.sql`>`,
    direction: Prisma.sql`ASC`,
  },
} as const;

/** Matches name, owner, yard, number and chip; the caller's wildcards are plain letters. */
const matches = (q: string): Prisma.Sql => {
  const like = `%${q.replaceAll(/[\\%_]/g, "\\$&")}%`;
  const bare = `${q.replaceAll(/[\s./\\%_-]/g, "").toUpperCase()}%`;
  return Prisma.sql`(h.name ILIKE ${like} OR y.name ILIKE ${like} OR (${bare} <> '%' AND (h.ueln LIKE ${bare} OR h.microchip LIKE ${bare})) OR EXISTS (
    SELECT 1 FROM horse_people hp JOIN people p ON p.practice_id = hp.practice_id AND p.id = hp.person_id
    WHERE hp.practice_id = h.practice_id AND hp.horse_id = h.id AND p.name ILIKE ${like}))`;
};

export type HorseItemRow = HorseItem & { readonly sortKey: string };

export const findHorses = (tx: Transaction, filter: HorseFilter): Promise<HorseItemRow[]> => {
  const order = ORDERS[filter.sort];
  const conditions = [Prisma.sql`true`];
  if (filter.q !== undefined) conditions.push(matches(filter.q));
  if (filter.yardId !== undefined) conditions.push(Prisma.sql`h.yard_id = ${filter.yardId}::uuid`);
  if (filter.status !== undefined) conditions.push(Prisma.sql`h.status = ${filter.status}`);
  if (filter.after !== null)
    conditions.push(
      Prisma.sql`(${order.key}, h.id) ${order.comparison} (${filter.after[0]}, ${filter.after[1]}::uuid)`,
    );
  return tx.$queryRaw<HorseItemRow[]>`
    SELECT h.id, h.name, h.type, h.breed, h.status, json_build_object('id', y.id, 'name', y.name) AS yard, ${FARRIER_OF} AS farrier, ${PEOPLE_OF} AS owners,
      c.id AS "openCaseId", c.phase, ${order.key} AS "sortKey"
    FROM horses h JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
    LEFT JOIN cases c ON c.practice_id = h.practice_id AND c.horse_id = h.id AND c.phase <> 'closed'
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY ${order.key} ${order.direction}, h.id ${order.direction} LIMIT ${filter.limit}`;
};

/** One horse with what stands beside it. */
export const findHorse = async (tx: Transaction, practiceId: string, id: string) => {
  const row = await tx.horse.findUnique({ where: { practiceId_id: { practiceId, id } } });
  if (row === null) return null;
  const [beside] = await tx.$queryRaw<
    {
      yard: { id: string; name: string; timeZone: string };
      farrier: { id: string; name: string } | null;
      owners: { id: string; name: string }[];
      openCaseId: string | null;
    }[]
  >`
    SELECT json_build_object('id', y.id, 'name', y.name, 'timeZone', y.time_zone) AS yard, ${FARRIER_OF} AS farrier, ${PEOPLE_OF} AS owners, c.id AS "openCaseId"
    FROM horses h JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
    LEFT JOIN cases c ON c.practice_id = h.practice_id AND c.horse_id = h.id AND c.phase <> 'closed' WHERE h.id = ${id}::uuid`;
  if (beside === undefined) return null;
  return { row, ...beside };
};

/** Locks a horse for a change and gives its version. */
export const lockHorse = async (tx: Transaction, id: string): Promise<number | null> => {
  const [row] = await tx.$queryRaw<
    { version: number }[]
  >`SELECT version FROM horses WHERE id = ${id}::uuid FOR UPDATE`;
  return row?.version ?? null;
};

interface WeighingRow extends Omit<Weighing, "weighedAt" | "ageDays"> {
  readonly weighedAt: Date;
}

/** Weighings, latest first, before the cursor's time and id. */
export const findWeighings = async (
  tx: Transaction,
  horseId: string,
  nowMs: number,
  filter: { readonly after: readonly string[] | null; readonly limit: number },
): Promise<Weighing[]> => {
  const rows = await tx.$queryRaw<WeighingRow[]>`
    SELECT w.id, w.horse_id AS "horseId", w.weighed_at AS "weighedAt", w.weight_kg AS "weightKg", w.low_kg AS "lowKg", w.high_kg AS "highKg", w.method,
      w.girth_cm AS "girthCm", w.length_cm AS "lengthCm", w.note, json_build_object('id', p.id, 'name', p.name) AS "weighedBy"
    FROM weighings w JOIN people p ON p.practice_id = w.practice_id AND p.id = w.weighed_by
    WHERE w.horse_id = ${horseId}::uuid
      AND ${filter.after === null ? Prisma.sql`true` : Prisma.sql`(w.weighed_at, w.id) < (${new Date(filter.after[0] ?? 0)}, ${filter.after[1]}::uuid)`}
    ORDER BY w.weighed_at DESC, w.id DESC LIMIT ${filter.limit}`;
  return rows.map((row) => ({
    ...row,
    weighedAt: row.weighedAt.toISOString(),
    ageDays: Math.floor((nowMs - row.weighedAt.getTime()) / MS_PER_DAY),
  }));
};

export const replaceOwners = async (
  tx: Transaction,
  practiceId: string,
  horseId: string,
  personIds: readonly string[],
): Promise<void> => {
  await tx.horsePerson.deleteMany({ where: { practiceId, horseId } });
  await tx.horsePerson.createMany({
    data: personIds.map((personId) => ({ practiceId, horseId, personId })),
  });
};
