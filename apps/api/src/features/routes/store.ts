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

export interface Delay {
  readonly freeAt: Date;
  readonly at: { readonly lat: number; readonly lon: number } | null;
  /** Resets being done when the delay was reported. */
  readonly underWay: readonly string[];
}

/** The newest word of a farrier's delay on a day. */
export const lastDelay = async (
  tx: Transaction,
  farrierId: string,
  date: string,
): Promise<Delay | null> => {
  const row = await tx.dayDelay.findFirst({
    where: { farrierId, dayOn: new Date(`${date}T00:00:00Z`) },
    orderBy: [{ reportedAt: "desc" }, { id: "desc" }],
  });
  return row === null
    ? null
    : {
        freeAt: row.freeAt,
        at: row.lat === null || row.lon === null ? null : { lat: row.lat, lon: row.lon },
        underWay: row.underWay,
      };
};

/** Where the farrier last finished work on the day, for the start of the next drive. */
export const lastDoneAt = async (
  tx: Transaction,
  farrierId: string,
  from: Date,
  until: Date,
): Promise<{ readonly lat: number; readonly lon: number } | null> => {
  const [row] = await tx.$queryRaw<{ lat: number; lon: number }[]>`
    SELECT y.lat, y.lon FROM shoeing_records s JOIN horses h ON h.practice_id = s.practice_id AND h.id = s.horse_id
    JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
    WHERE s.farrier_id = ${farrierId}::uuid AND s.done_at >= ${from} AND s.done_at <= ${until} ORDER BY s.done_at DESC, s.id DESC LIMIT 1`;
  return row ?? null;
};

/** Ids of a farrier's booked resets on a day at their yards, in the order of their times. */
export const bookedOn = async (
  tx: Transaction,
  farrierId: string,
  date: string,
): Promise<readonly string[]> => {
  const rows = await tx.$queryRaw<{ id: string }[]>`
    SELECT r.id FROM resets r JOIN horses h ON h.practice_id = r.practice_id AND h.id = r.horse_id
    JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
    WHERE r.status = 'booked' AND coalesce(r.farrier_id, h.farrier_id) = ${farrierId}::uuid
      AND (r.booked_for AT TIME ZONE y.time_zone)::date = ${date}::date ORDER BY r.booked_for, r.id`;
  return rows.map((row) => row.id);
};
