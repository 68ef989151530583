import type { Phase } from "@heelward/domain/cases";
import type { Transaction } from "../../database/client.ts";

/** Lines shown of what changed; the rest is on the case's own page. */
const CHANGES_SHOWN = 3;

/** An open case with what happened since a vet last examined the horse. */
export interface BoardCase {
  readonly caseId: string;
  readonly number: number;
  readonly phase: Phase;
  readonly horseId: string;
  readonly horseName: string;
  readonly yardName: string;
  readonly lastVisitAt: Date | null;
  readonly changes: readonly {
    readonly at: string;
    readonly title: string;
    readonly detail: string | null;
  }[];
  readonly changeCount: number;
  readonly scoreBefore: number | null;
  readonly scoreNow: number | null;
  readonly scoreNowAt: Date | null;
}

/** Every open case in sight, by horse. Without a visit on record everything of the case is new. */
export const findBoardCases = (tx: Transaction): Promise<BoardCase[]> => tx.$queryRaw<BoardCase[]>`
  SELECT c.id AS "caseId", c.number, c.phase, h.id AS "horseId", h.name AS "horseName", y.name AS "yardName", v.at AS "lastVisitAt",
    coalesce(n.changes, '[]') AS changes, coalesce(n.count, 0)::int AS "changeCount", b.score AS "scoreBefore", s.score AS "scoreNow", s.at AS "scoreNowAt"
  FROM cases c JOIN horses h ON h.practice_id = c.practice_id AND h.id = c.horse_id JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
  LEFT JOIN LATERAL (SELECT max(e.examined_at) AS at FROM examinations e
    WHERE e.practice_id = c.practice_id AND e.horse_id = c.horse_id AND e.kind = 'examination') v ON true
  LEFT JOIN LATERAL (SELECT max(k.total) AS count, json_agg(json_build_object('at', k.at, 'title', k.title, 'detail', k.detail) ORDER BY k.at DESC, k.id DESC) AS changes
    FROM (SELECT e.id, e.at, e.title, e.detail, count(*) OVER () AS total FROM case_events e
      WHERE e.practice_id = c.practice_id AND e.case_id = c.id AND e.at > coalesce(v.at, '-infinity')
      ORDER BY e.at DESC, e.id DESC LIMIT ${CHANGES_SHOWN}) k) n ON true
  LEFT JOIN LATERAL (SELECT e.five_sign_score AS score FROM examinations e
    WHERE e.practice_id = c.practice_id AND e.horse_id = c.horse_id AND e.five_sign_score IS NOT NULL AND e.examined_at <= v.at
    ORDER BY e.examined_at DESC, e.id DESC LIMIT 1) b ON true
  LEFT JOIN LATERAL (SELECT e.five_sign_score AS score, e.examined_at AS at FROM examinations e
    WHERE e.practice_id = c.practice_id AND e.horse_id = c.horse_id AND e.five_sign_score IS NOT NULL AND e.examined_at > coalesce(v.at, '-infinity')
    ORDER BY e.examined_at DESC, e.id DESC LIMIT 1) s ON true
  WHERE c.phase <> 'closed' AND h.status <> 'died'
  ORDER BY h.name, c.number`;
