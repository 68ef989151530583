import { addDays } from "@heelward/domain/time";
import type { Transaction } from "../../database/client.ts";

/** Half a year: long enough to see a season, short enough to read. */
const WEEKS = 26;

interface OverdueHorse {
  readonly on: string;
  readonly farrierId: string | null;
  readonly yardId: string;
}

const daysBack = (today: string): readonly string[] =>
  Array.from({ length: WEEKS }, (_, index) => addDays(today, -7 * (WEEKS - 1 - index)));

/**
 * Horses that stood past their due day on this day of each of the last weeks, whoever had them and
 * wherever they stood. Worked out from the visits themselves, so that a night without a service is no gap.
 */
export const overdueByWeek = (tx: Transaction, today: string): Promise<OverdueHorse[]> =>
  tx.$queryRaw<OverdueHorse[]>`
    SELECT d.day::text AS on, coalesce(s.farrier_id, r.farrier_id, h.farrier_id) AS "farrierId", h.yard_id AS "yardId"
    FROM unnest(${[...daysBack(today)]}::date[]) AS d (day)
    JOIN resets r ON r.status <> 'dropped' AND r.due_on < d.day AND r.last_done_on <= d.day
    JOIN horses h ON h.practice_id = r.practice_id AND h.id = r.horse_id JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
    LEFT JOIN shoeing_records s ON s.practice_id = r.practice_id AND s.id = r.shoeing_record_id
    WHERE r.done_at IS NULL OR (r.done_at AT TIME ZONE y.time_zone)::date > d.day
    ORDER BY d.day, h.id`;

/** How many on each of those days, weeks without one as 0. */
export const weekly = (
  horses: readonly OverdueHorse[],
  today: string,
): { readonly on: string; readonly horses: number }[] =>
  daysBack(today).map((on) => ({ on, horses: horses.filter((one) => one.on === on).length }));
