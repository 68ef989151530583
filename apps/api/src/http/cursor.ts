import { badField } from "./problem.ts";

/** Makes a cursor of the last item's sort values. Opaque to callers. */
const encodeCursor = (values: readonly (string | number)[]): string =>
  Buffer.from(JSON.stringify(values), "utf8").toString("base64url");

/** Reads a cursor made by {@link encodeCursor} with `count` values. @throws Problem when it was not. */
export const decodeCursor = (cursor: string | undefined, count: number): string[] | null => {
  if (cursor === undefined) return null;
  try {
    const values: unknown = JSON.parse(Buffer.from(cursor, "base64url").toString("utf8"));
    if (
      Array.isArray(values) &&
      values.length === count &&
      values.every((value) => typeof value === "string" || typeof value === "number")
    )
      return values.map(String);
  } catch {
    // falls through to the same answer
  }
  throw badField("/cursor", "is not a cursor of this list; start again without it");
};

/** Cuts one row more than the page off again and says where the next page starts. */
export const toPage = <T>(
  rows: readonly T[],
  limit: number,
  key: (row: T) => readonly (string | number)[],
): { rows: readonly T[]; nextCursor: string | null } => {
  const last = rows[limit - 1];
  return rows.length > limit && last !== undefined
    ? { rows: rows.slice(0, limit), nextCursor: encodeCursor(key(last)) }
    : { rows, nextCursor: null };
};
