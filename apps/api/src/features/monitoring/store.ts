import type { PersonRef } from "@heelward/contracts";
import type { Transaction } from "../../database/client.ts";

/** A test with the day its sample was taken. */
export interface ResultDay {
  readonly horseId: string;
  readonly test: string;
  readonly reading: string | null;
  readonly on: string;
}

export const findResultDays = (
  tx: Transaction,
  horseIds: readonly string[],
): Promise<ResultDay[]> => tx.$queryRaw<ResultDay[]>`
  SELECT horse_id AS "horseId", test, reading, taken_on::text AS "on" FROM lab_results
  WHERE horse_id = ANY (${[...horseIds]}::uuid[]) ORDER BY taken_on, id`;

/** Days of weighings, oldest first, on the yard's calendar. A guess by eye is none. */
export const findWeighingDays = (
  tx: Transaction,
  horseIds: readonly string[],
): Promise<{ horseId: string; on: string }[]> => tx.$queryRaw`
  SELECT w.horse_id AS "horseId", (w.weighed_at AT TIME ZONE y.time_zone)::date::text AS "on"
  FROM weighings w JOIN horses h ON h.practice_id = w.practice_id AND h.id = w.horse_id JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
  WHERE w.horse_id = ANY (${[...horseIds]}::uuid[]) AND w.method <> 'estimate' ORDER BY w.weighed_at, w.id`;

export interface Waiver {
  readonly horseId: string;
  readonly taskKey: string;
  readonly reason: string;
  readonly by: PersonRef;
  readonly on: string;
}

export const findWaivers = (
  tx: Transaction,
  horseIds: readonly string[],
): Promise<Waiver[]> => tx.$queryRaw<Waiver[]>`
  SELECT w.horse_id AS "horseId", w.task_key AS "taskKey", w.reason, json_build_object('id', p.id, 'name', p.name) AS by, w.waived_at::date::text AS "on"
  FROM monitoring_waivers w JOIN people p ON p.practice_id = w.practice_id AND p.id = w.waived_by
  WHERE w.horse_id = ANY (${[...horseIds]}::uuid[])`;

/** Horses that may have a task: on or just off a course, under watch, with a hormone cause, or in treatment. */
export const findHorsesToMonitor = async (tx: Transaction, since: Date): Promise<string[]> =>
  (
    await tx.$queryRaw<{ id: string }[]>`
    SELECT h.id FROM horses h WHERE h.status = 'active' AND (
      h.conditions && ARRAY['PPID', 'insulin dysregulation', 'previous laminitis']
      OR EXISTS (SELECT 1 FROM medication_courses m WHERE m.practice_id = h.practice_id AND m.horse_id = h.id AND m.status IN ('signed', 'held', 'finished') AND m.end_on >= ${since}::date)
      OR EXISTS (SELECT 1 FROM other_medicines o WHERE o.practice_id = h.practice_id AND o.horse_id = h.id AND o.watch_until >= ${since}::date)
      OR EXISTS (SELECT 1 FROM cases c WHERE c.practice_id = h.practice_id AND c.horse_id = h.id AND c.phase IN ('acute', 'subacute')))`
  ).map((row) => row.id);
