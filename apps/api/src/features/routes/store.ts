import type { Transaction } from "../../database/client.ts";

/** The plan to work from of each horse that has one. */
export const currentPlans = async (
  tx: Transaction,
  horseIds: readonly string[],
): Promise<ReadonlyMap<string, string>> => {
  const rows = await tx.$queryRaw<{ horseId: string; id: string }[]>`
    SELECT DISTINCT ON (horse_id) horse_id AS "horseId", id FROM prescriptions
    WHERE horse_id = ANY (${[...horseIds]}::uuid[]) AND status IN ('signed', 'accepted', 'queried') ORDER BY horse_id, signed_at DESC, id`;
  return new Map(rows.map((row) => [row.horseId, row.id]));
};
