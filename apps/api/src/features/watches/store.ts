import type { Foot } from "@heelward/domain/examination";
import { Prisma, type Transaction } from "../../database/client.ts";

export interface WatchRow {
  readonly id: string;
  readonly horseId: string;
  readonly horseName: string;
  readonly caseId: string | null;
  readonly hurtLimb: Foot;
  readonly watchedFoot: Foot;
  readonly cause: "cast" | "lameness";
  readonly because: string;
  readonly startedBy: { readonly id: string; readonly name: string };
  readonly startedAt: Date;
  readonly endedAt: Date | null;
  readonly endReason: string | null;
  readonly version: number;
  readonly timeZone: string;
}

/** Watches of a horse, or those under way, newest first. */
export const findWatches = (
  tx: Transaction,
  filter: {
    readonly id?: string;
    readonly horseId?: string;
    readonly isOpen?: true;
    readonly yardId?: string | undefined;
  },
): Promise<WatchRow[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.id !== undefined) conditions.push(Prisma.sql`w.id = ${filter.id}::uuid`);
  if (filter.horseId !== undefined)
    conditions.push(Prisma.sql`w.horse_id = ${filter.horseId}::uuid`);
  if (filter.isOpen) conditions.push(Prisma.sql`w.ended_at IS NULL AND h.status <> 'died'`);
  if (filter.yardId !== undefined) conditions.push(Prisma.sql`h.yard_id = ${filter.yardId}::uuid`);
  return tx.$queryRaw<WatchRow[]>`
    SELECT w.id, w.horse_id AS "horseId", h.name AS "horseName", w.case_id AS "caseId", w.hurt_limb AS "hurtLimb", w.watched_foot AS "watchedFoot", w.cause, w.because,
      json_build_object('id', p.id, 'name', p.name) AS "startedBy", w.started_at AS "startedAt", w.ended_at AS "endedAt", w.end_reason AS "endReason", w.version, y.time_zone AS "timeZone"
    FROM limb_watches w JOIN horses h ON h.practice_id = w.practice_id AND h.id = w.horse_id
    JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
    JOIN people p ON p.practice_id = w.practice_id AND p.id = w.started_by
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY w.started_at DESC, w.id LIMIT 100`;
};

/** When the watched foot was felt, or the horse examined by a vet, since the watch began. */
export const findChecksSince = async (
  tx: Transaction,
  { horseId, watchedFoot, startedAt }: Pick<WatchRow, "horseId" | "watchedFoot" | "startedAt">,
): Promise<readonly Date[]> => {
  const rows = await tx.$queryRaw<{ examinedAt: Date }[]>`
    SELECT e.examined_at AS "examinedAt" FROM examinations e
    WHERE e.horse_id = ${horseId}::uuid AND e.examined_at >= ${startedAt}
      AND (e.kind = 'examination' OR jsonb_exists(e.digital_pulses, ${watchedFoot}) OR jsonb_exists(e.hoof_heat, ${watchedFoot}))
    ORDER BY e.examined_at`;
  return rows.map((row) => row.examinedAt);
};
