import type { CareDay } from "@heelward/contracts";
import type { Transaction } from "../../database/client.ts";

export interface LastCheck {
  readonly horseId: string;
  readonly examinedAt: Date;
  readonly score: number | null;
}

/** The latest yard check of each horse. */
export const findLastChecks = (
  tx: Transaction,
  horseIds: readonly string[],
): Promise<LastCheck[]> => tx.$queryRaw<LastCheck[]>`
  SELECT DISTINCT ON (horse_id) horse_id AS "horseId", examined_at AS "examinedAt", five_sign_score AS score
  FROM examinations WHERE horse_id = ANY (${[...horseIds]}::uuid[]) AND kind = 'care check' ORDER BY horse_id, examined_at DESC, id DESC`;

/** First-aid sheets of open cases with steps not ticked yet; the newest sheet of a case counts. */
export const findOpenSheets = (
  tx: Transaction,
  horseIds: readonly string[],
): Promise<CareDay["firstAid"]> => tx.$queryRaw<CareDay["firstAid"]>`
  SELECT * FROM (
    SELECT DISTINCT ON (s.case_id) s.id AS "sheetId", json_build_object('id', h.id, 'name', h.name) AS horse, n.total,
      n.total - (SELECT count(DISTINCT t.step_id)::int FROM first_aid_ticks t WHERE t.practice_id = s.practice_id AND t.sheet_id = s.id) AS open
    FROM first_aid_sheets s
    JOIN cases c ON c.practice_id = s.practice_id AND c.id = s.case_id AND c.phase IN ('acute', 'subacute')
    JOIN horses h ON h.practice_id = s.practice_id AND h.id = s.horse_id
    CROSS JOIN LATERAL (SELECT count(*)::int AS total FROM jsonb_array_elements(s.sheet->'steps') step WHERE (step->>'checklist')::boolean) n
    WHERE s.horse_id = ANY (${[...horseIds]}::uuid[]) ORDER BY s.case_id, s.written_at DESC, s.id DESC
  ) sheets WHERE open > 0 ORDER BY "sheetId"`;
