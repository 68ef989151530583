import { Prisma, type Transaction } from "../database/client.ts";
import { canonicalText, sha256Hex } from "./canonical.ts";

/** Hashes of rows by `table/id`; null for a row that was removed. */
export type RowHashes = Readonly<Record<string, string | null>>;

/**
 * Hash of a row: SHA-256 of its canonical JSON (RFC 8785) without empty columns, so that a column added
 * later, empty in old rows, leaves their hashes as they are.
 */
export const rowHash = (row: Readonly<Record<string, unknown>>): string =>
  sha256Hex(
    canonicalText(Object.fromEntries(Object.entries(row).filter(([, value]) => value !== null))),
  );

const TABLE = /^[a-z_]+$/u;

/** A row a transaction touched, with the horse it is about. */
export interface TouchedRow {
  /** `table/id`. */
  readonly key: string;
  readonly hash: string | null;
  readonly horseId: string | null;
}

const idIn = (row: Readonly<Record<string, unknown>>, column: string): string | null =>
  typeof row[column] === "string" ? row[column] : null;

/**
 * The rows a transaction has touched so far, as its triggers noted them, with their hashes.
 *
 * @param touched `table/id` of each, with spaces between
 */
export const hashTouchedRows = async (
  tx: Transaction,
  touched: string,
): Promise<readonly TouchedRow[]> => {
  const keys = [...new Set(touched.split(" "))].filter((key) => key !== "").toSorted();
  if (keys.length === 0) return [];
  const byTable = new Map<string, string[]>();
  for (const key of keys) {
    const [table = "", id = ""] = key.split("/");
    if (!TABLE.test(table)) throw new Error(`not a table: ${table}`);
    byTable.set(table, [...(byTable.get(table) ?? []), id]);
  }
  const parts = [...byTable].map(
    ([table, ids]) => Prisma.sql`
      SELECT ${table} || '/' || t.id AS key, to_jsonb(t)::text AS row FROM ${Prisma.raw(`"${table}"`)} t
      WHERE t.practice_id = app_practice() AND t.id = ANY (${ids}::uuid[])`,
  );
  const rows = await tx.$queryRaw<{ key: string; row: string }[]>(
    Prisma.join(parts, " UNION ALL "),
  );
  const found = new Map(
    rows.map(({ key, row }) => [key, JSON.parse(row) as Record<string, unknown>]),
  );
  return keys.map((key) => {
    const row = found.get(key);
    return row === undefined
      ? { key, hash: null, horseId: null }
      : {
          key,
          hash: rowHash(row),
          horseId: idIn(row, key.startsWith("horses/") ? "id" : "horse_id"),
        };
  });
};

const isHashes = (value: unknown): value is RowHashes =>
  typeof value === "object" && value !== null && !Array.isArray(value);

/** What an entry of the log says of rows; empty when it says nothing. */
export const rowsIn = (entry: Readonly<Record<string, unknown>> | null): RowHashes =>
  isHashes(entry?.["rows"]) ? entry["rows"] : {};
