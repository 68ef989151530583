import type { ShoeingRecord } from "@heelward/contracts";
import { Prisma, type Transaction } from "../../database/client.ts";
import { isoDayOrNull, isoOrNull } from "../../http/dates.ts";

interface ShoeingRow extends Omit<
  ShoeingRecord,
  "startedAt" | "doneAt" | "receivedAt" | "nextResetOn"
> {
  readonly startedAt: Date | null;
  readonly doneAt: Date;
  readonly receivedAt: Date;
  readonly nextResetOn: Date | null;
}

/** What was done to the feet, latest first, before the cursor's time and id. */
export const findShoeing = async (
  tx: Transaction,
  filter: {
    readonly id?: string;
    readonly horseId?: string;
    readonly after?: readonly string[] | null;
    readonly limit: number;
  },
): Promise<ShoeingRecord[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.id !== undefined) conditions.push(Prisma.sql`s.id = ${filter.id}::uuid`);
  if (filter.horseId !== undefined)
    conditions.push(Prisma.sql`s.horse_id = ${filter.horseId}::uuid`);
  if (filter.after !== undefined && filter.after !== null)
    conditions.push(
      Prisma.sql`(s.done_at, s.id) < (${new Date(filter.after[0] ?? 0)}, ${filter.after[1]}::uuid)`,
    );
  const rows = await tx.$queryRaw<ShoeingRow[]>`
    SELECT s.id, s.horse_id AS "horseId", s.case_id AS "caseId", s.prescription_id AS "prescriptionId", p.number AS "prescriptionNumber", json_build_object('id', f.id, 'name', f.name) AS farrier,
      s.started_at AS "startedAt", s.done_at AS "doneAt", s.created_at AS "receivedAt", l.late AS "cameLate", s.by_replaced_plan AS "byReplacedPlan", s.as_planned AS "asPlanned", s.feet, s.comparison, s.deviations, s.wedge_removal AS "wedgeRemoval",
      s.comfort_before AS "comfortBefore", s.comfort_after AS "comfortAfter", s.departures, s.notes, s.photo_ids AS "photoIds", s.next_reset_on AS "nextResetOn",
      json_build_object(
        'state', CASE WHEN f1.films IS NOT NULL THEN 'attached' WHEN w.id IS NOT NULL THEN 'waived'
          WHEN s.prescription_id IS NULL OR p.conditions->>'filmAfterFitting' = 'false' THEN 'not wanted' ELSE 'wanted' END,
        'radiographIds', coalesce(f1.films, '[]'::json), 'waivedReason', CASE WHEN f1.films IS NULL THEN w.waived_reason END,
        'settledBy', (SELECT json_build_object('id', b.id, 'name', b.name) FROM people b WHERE b.practice_id = s.practice_id AND b.id = coalesce(f1.settled_by, w.settled_by)),
        'settledAt', to_char(coalesce(f1.settled_at, w.settled_at) AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"')) AS "postFitFilm"
    FROM shoeing_records s JOIN people f ON f.practice_id = s.practice_id AND f.id = s.farrier_id LEFT JOIN prescriptions p ON p.practice_id = s.practice_id AND p.id = s.prescription_id
    LEFT JOIN LATERAL (
      SELECT json_agg(x.radiograph_id ORDER BY x.settled_at) AS films, (array_agg(x.settled_by ORDER BY x.settled_at DESC))[1] AS settled_by, max(x.settled_at) AS settled_at
      FROM post_fit_films x WHERE x.practice_id = s.practice_id AND x.shoeing_record_id = s.id AND x.radiograph_id IS NOT NULL) f1 ON true
    LEFT JOIN LATERAL (
      SELECT json_build_object('deviceAt', to_char(a.device_at AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"'), 'clockOffsetMs', a.clock_offset_ms) AS late
      FROM arrivals a WHERE a.practice_id = s.practice_id AND a.record_id = s.id LIMIT 1) l ON true
    LEFT JOIN LATERAL (
      SELECT x.* FROM post_fit_films x WHERE x.practice_id = s.practice_id AND x.shoeing_record_id = s.id AND x.waived_reason IS NOT NULL ORDER BY x.settled_at DESC LIMIT 1) w ON true
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY s.done_at DESC, s.id DESC LIMIT ${filter.limit}`;
  return rows.map((row) => ({
    ...row,
    startedAt: isoOrNull(row.startedAt),
    doneAt: row.doneAt.toISOString(),
    receivedAt: row.receivedAt.toISOString(),
    nextResetOn: isoDayOrNull(row.nextResetOn),
  }));
};

/** The feet of one visit, for reckoning growth. */
export interface VisitFeet {
  readonly horseId: string;
  readonly doneAt: Date;
  readonly feet: ShoeingRecord["feet"];
}

/** The feet of each horse's last visits, latest first. */
export const findVisitFeet = (
  tx: Transaction,
  horseIds: readonly string[],
  visitsEach: number,
): Promise<VisitFeet[]> => tx.$queryRaw<VisitFeet[]>`
  SELECT v."horseId", v."doneAt", v.feet
  FROM unnest(${horseIds}::uuid[]) AS h(id)
  JOIN LATERAL (
    SELECT s.horse_id AS "horseId", s.done_at AS "doneAt", s.feet FROM shoeing_records s
    WHERE s.horse_id = h.id ORDER BY s.done_at DESC, s.id DESC LIMIT ${visitsEach}) v ON true
  ORDER BY v."doneAt" DESC`;
