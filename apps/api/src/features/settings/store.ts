import { Prisma, type Transaction } from "../../database/client.ts";

export interface OwnValue {
  readonly key: string;
  readonly value: number;
  readonly source: string;
  /** `YYYY-MM-DD`. */
  readonly since: string;
  readonly setBy: { readonly id: string; readonly name: string };
}

const select = (what: Prisma.Sql): Prisma.Sql => Prisma.sql`
  SELECT ${what} s.key, (s.value #>> '{}')::float8 AS value, s.source, s.since::text AS since, json_build_object('id', p.id, 'name', p.name) AS "setBy"
  FROM settings s JOIN people p ON p.practice_id = s.practice_id AND p.id = s.set_by WHERE jsonb_typeof(s.value) = 'number'`;

/** The practice's own values that hold on a day: the one with the latest start, of two from one day the later written. */
export const findInForce = (
  tx: Transaction,
  keys: readonly string[],
  on: string,
): Promise<OwnValue[]> => tx.$queryRaw<OwnValue[]>`
  ${select(Prisma.sql`DISTINCT ON (s.key)`)} AND s.key = ANY (${[...keys]}) AND s.since <= ${on}::date
  ORDER BY s.key, s.since DESC, s.created_at DESC, s.id DESC`;

/** Every value the practice ever set, oldest start first. */
export const findAll = (tx: Transaction): Promise<OwnValue[]> => tx.$queryRaw<OwnValue[]>`
  ${select(Prisma.empty)} ORDER BY s.key, s.since, s.created_at, s.id`;
