import type { Transaction } from "../../database/client.ts";

export interface ShapeRow {
  readonly caseId: string;
  readonly practiceId: string;
  readonly horseId: string;
  readonly cause: string | null;
  readonly rotationDegrees: number;
  readonly founderDistanceMm: number;
  readonly closeReason: string | null;
}

/**
 * Every case with a measured side view: the worst foot of its first films. Row-level security keeps to
 * the practice.
 */
export const findShapes = (tx: Transaction): Promise<ShapeRow[]> => tx.$queryRaw<ShapeRow[]>`
  WITH first_of_foot AS (
    SELECT DISTINCT ON (r.practice_id, r.case_id, r.foot) r.practice_id, r.case_id, l.measurements
    FROM radiographs r JOIN landmark_sets l ON l.practice_id = r.practice_id AND l.radiograph_id = r.id AND NOT l.for_study
    WHERE r.view = 'lateromedial' ORDER BY r.practice_id, r.case_id, r.foot, r.taken_at, l.number DESC),
  worst AS (
    SELECT f.practice_id, f.case_id,
      max((m->>'value')::float8) FILTER (WHERE m->>'key' = 'capsularRotation') AS rotation,
      max((m->>'value')::float8) FILTER (WHERE m->>'key' = 'founderDistance') AS founder
    FROM first_of_foot f CROSS JOIN LATERAL jsonb_array_elements(f.measurements) m
    GROUP BY f.practice_id, f.case_id)
  SELECT c.id AS "caseId", c.practice_id AS "practiceId", c.horse_id AS "horseId", c.cause,
    w.rotation AS "rotationDegrees", w.founder AS "founderDistanceMm", c.close_reason AS "closeReason"
  FROM worst w JOIN cases c ON c.practice_id = w.practice_id AND c.id = w.case_id
  WHERE w.rotation IS NOT NULL AND w.founder IS NOT NULL`;
