import type { Transaction } from "../../database/client.ts";

export interface OwnHorse {
  readonly id: string;
  readonly name: string;
  readonly type: string;
  readonly status: string;
  readonly yard: string;
  readonly timeZone: string;
  readonly openCaseId: string | null;
  readonly phase: string | null;
  readonly caseOpenedAt: Date | null;
  readonly hasCause: boolean;
  readonly leadVetId: string | null;
  readonly closedCaseId: string | null;
  readonly closeReason: string | null;
}

/** The horses of one owner, whatever else this person may see here. */
export const findOwnHorses = (
  tx: Transaction,
  personId: string,
  horseId?: string,
): Promise<OwnHorse[]> => tx.$queryRaw<OwnHorse[]>`
  SELECT h.id, h.name, h.type, h.status, y.name AS yard, y.time_zone AS "timeZone", c.id AS "openCaseId", c.phase, c.opened_at AS "caseOpenedAt",
    c.cause IS NOT NULL AS "hasCause", c.lead_vet_id AS "leadVetId", z.id AS "closedCaseId", z.close_reason AS "closeReason"
  FROM horses h JOIN horse_people o ON o.practice_id = h.practice_id AND o.horse_id = h.id AND o.person_id = ${personId}::uuid
  JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
  LEFT JOIN cases c ON c.practice_id = h.practice_id AND c.horse_id = h.id AND c.phase <> 'closed'
  LEFT JOIN LATERAL (SELECT id, close_reason FROM cases l WHERE l.practice_id = h.practice_id AND l.horse_id = h.id AND l.phase = 'closed'
    ORDER BY l.closed_at DESC, l.id DESC LIMIT 1) z ON true
  WHERE ${horseId ?? null}::uuid IS NULL OR h.id = ${horseId ?? null}::uuid
  ORDER BY lower(h.name), h.id LIMIT 200`;

/** The highest five-sign score of each day, oldest first. */
export const findComfort = (
  tx: Transaction,
  horseId: string,
  zone: string,
  from: Date,
): Promise<{ on: string; score: number }[]> => tx.$queryRaw`
  SELECT (examined_at AT TIME ZONE ${zone})::date::text AS "on", max(five_sign_score)::int AS score FROM examinations
  WHERE horse_id = ${horseId}::uuid AND five_sign_score IS NOT NULL AND examined_at >= ${from} GROUP BY 1 ORDER BY 1`;

/** The last weight of each day, oldest first. */
export const findWeights = (
  tx: Transaction,
  horseId: string,
  zone: string,
  from: Date,
): Promise<{ on: string; weightKg: number }[]> => tx.$queryRaw`
  SELECT DISTINCT ON (1) (weighed_at AT TIME ZONE ${zone})::date::text AS "on", round(weight_kg)::int AS "weightKg" FROM weighings
  WHERE horse_id = ${horseId}::uuid AND weighed_at >= ${from} ORDER BY 1, weighed_at DESC, id DESC`;

export interface ReleasedRow {
  readonly at: Date;
  readonly kind: string;
  readonly words: string;
}

/** What the timeline says to the owner, latest first. Laboratory results come from {@link findResults}. */
export const findLines = (
  tx: Transaction,
  horseId: string,
  limit: number,
): Promise<ReleasedRow[]> => tx.$queryRaw<ReleasedRow[]>`
  SELECT at, kind, for_owner AS words FROM case_events
  WHERE horse_id = ${horseId}::uuid AND for_owner IS NOT NULL AND ref_type IS DISTINCT FROM 'laboratory result' ORDER BY at DESC, id DESC LIMIT ${limit}`;

/** Laboratory results a vet released, with the vet's words where there are any. */
export const findResults = (
  tx: Transaction,
  horseId: string,
  now: Date,
): Promise<
  { takenOn: string; test: string; value: number; unit: string; words: string | null }[]
> => tx.$queryRaw`
  SELECT l.taken_on::text AS "takenOn", l.test, l.value, l.unit, (SELECT e.for_owner FROM case_events e WHERE e.practice_id = l.practice_id AND e.ref_id = l.id
    AND e.ref_type = 'laboratory result' AND e.for_owner IS NOT NULL ORDER BY e.at DESC, e.id DESC LIMIT 1) AS words
  FROM lab_results l WHERE l.horse_id = ${horseId}::uuid AND l.released_at <= ${now} ORDER BY l.taken_on DESC, l.id DESC LIMIT 50`;

/** Photos and papers meant for the owner. */
export const findPapers = (
  tx: Transaction,
  horseId: string,
): Promise<{ id: string; at: Date; caption: string | null; isPicture: boolean }[]> => tx.$queryRaw`
  SELECT id, taken_at AS at, caption, media_type LIKE 'image/%' AS "isPicture" FROM documents
  WHERE horse_id = ${horseId}::uuid AND for_owner ORDER BY taken_at DESC, id DESC LIMIT 100`;

/** What this owner asked about a horse, and whether somebody has read it. */
export const findQuestions = (
  tx: Transaction,
  horseId: string,
  personId: string,
): Promise<{ askedAt: Date; question: string; readBy: string | null; readAt: Date | null }[]> =>
  tx.$queryRaw`
  SELECT n.written_at AS "askedAt", coalesce(n.found, n.situation) AS question, p.name AS "readBy", n.acknowledged_at AS "readAt"
  FROM handoff_notes n LEFT JOIN people p ON p.practice_id = n.practice_id AND p.id = n.acknowledged_by
  WHERE n.horse_id = ${horseId}::uuid AND n.from_person = ${personId}::uuid AND n.from_role = 'owner' ORDER BY n.written_at DESC, n.id DESC LIMIT 20`;
