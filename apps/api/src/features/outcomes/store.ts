import type { Outcomes } from "@heelward/contracts";
import type { Transaction } from "../../database/client.ts";

/** Hours from draft to signature of what was signed since. */
export const findSigningTimes = (
  tx: Transaction,
  since: Date,
): Promise<{ what: "plan" | "course"; hours: number }[]> => tx.$queryRaw`
  SELECT 'plan' AS what, (extract(epoch FROM signed_at - created_at) / 3600)::float8 AS hours FROM prescriptions WHERE signed_at >= ${since} AND signed_at >= created_at
  UNION ALL
  SELECT 'course', (extract(epoch FROM signed_at - created_at) / 3600)::float8 FROM medication_courses WHERE signed_at >= ${since} AND signed_at >= created_at`;

/** First and last five-sign score since, of cases with two or more. */
export const findComfort = (
  tx: Transaction,
  since: Date,
): Promise<{ first: number; last: number }[]> => tx.$queryRaw`
  SELECT (array_agg(five_sign_score ORDER BY examined_at, id))[1] AS first, (array_agg(five_sign_score ORDER BY examined_at DESC, id DESC))[1] AS last
  FROM examinations WHERE five_sign_score IS NOT NULL AND case_id IS NOT NULL AND examined_at >= ${since}
  GROUP BY case_id HAVING count(*) > 1`;

/** Horses with a measured film since. */
export const findFilmedHorses = async (tx: Transaction, since: Date): Promise<string[]> =>
  (
    await tx.$queryRaw<{ horseId: string }[]>`
      SELECT DISTINCT horse_id AS "horseId" FROM radiographs WHERE taken_at >= ${since} AND view = 'lateromedial' ORDER BY 1`
  ).map((one) => one.horseId);

/** What each person of the practice did since, and what lies before them now. */
export const findWorkload = (
  tx: Transaction,
  since: Date,
): Promise<
  (Omit<Outcomes["workload"][number], "person"> & { readonly id: string; readonly name: string })[]
> => tx.$queryRaw`
  SELECT p.id, p.name, p.roles,
    (SELECT count(*)::int FROM shoeing_records s WHERE s.practice_id = p.practice_id AND s.farrier_id = p.id AND s.done_at >= ${since}) AS visits,
    (SELECT count(*)::int FROM examinations e WHERE e.practice_id = p.practice_id AND e.examined_by = p.id AND e.examined_at >= ${since}) AS examinations,
    ((SELECT count(*) FROM prescriptions x WHERE x.practice_id = p.practice_id AND x.signed_by = p.id AND x.signed_at >= ${since})
      + (SELECT count(*) FROM medication_courses m WHERE m.practice_id = p.practice_id AND m.signed_by = p.id AND m.signed_at >= ${since}))::int AS signatures,
    (SELECT count(*)::int FROM dose_records d WHERE d.practice_id = p.practice_id AND d.given_by = p.id AND d.outcome = 'given' AND d.given_at >= ${since}) AS doses,
    (SELECT count(*)::int FROM handoff_notes n WHERE n.practice_id = p.practice_id AND n.acknowledged_by = p.id AND n.acknowledged_at >= ${since}) AS "notesRead",
    (SELECT count(*)::int FROM resets r WHERE r.practice_id = p.practice_id AND r.farrier_id = p.id AND r.status IN ('open', 'booked')) AS "openResets",
    (SELECT count(*)::int FROM handoff_notes n WHERE n.practice_id = p.practice_id AND n.to_person = p.id AND n.acknowledged_at IS NULL) AS "openNotes",
    ((SELECT count(*) FROM prescriptions x WHERE x.practice_id = p.practice_id AND x.drafted_by = p.id AND x.status = 'draft')
      + (SELECT count(*) FROM medication_courses m WHERE m.practice_id = p.practice_id AND m.drafted_by = p.id AND m.status = 'draft'))::int AS drafts
  FROM people p WHERE p.status = 'active' AND p.roles && ARRAY['vet', 'farrier', 'manager', 'carer'] ORDER BY p.name, p.id`;

/** Drafts nobody has signed, oldest first. The title of a course is the key of its medicine. */
export const findUnsigned = (
  tx: Transaction,
): Promise<
  (Omit<Outcomes["drafts"][number], "draftedAt" | "href"> & { readonly draftedAt: Date })[]
> => tx.$queryRaw`
  SELECT x.id, 'plan' AS what, json_build_object('id', h.id, 'name', h.name) AS horse, x.aim AS title, json_build_object('id', d.id, 'name', d.name) AS "draftedBy", x.created_at AS "draftedAt"
  FROM prescriptions x JOIN horses h ON h.practice_id = x.practice_id AND h.id = x.horse_id JOIN people d ON d.practice_id = x.practice_id AND d.id = x.drafted_by
  JOIN cases c ON c.practice_id = x.practice_id AND c.id = x.case_id AND c.phase <> 'closed' WHERE x.status = 'draft'
  UNION ALL
  SELECT m.id, 'course', json_build_object('id', h.id, 'name', h.name), m.drug_key, json_build_object('id', d.id, 'name', d.name), m.created_at
  FROM medication_courses m JOIN horses h ON h.practice_id = m.practice_id AND h.id = m.horse_id JOIN people d ON d.practice_id = m.practice_id AND d.id = m.drafted_by
  WHERE m.status = 'draft' AND h.status <> 'died'
  ORDER BY 6, 1`;

/** The newest weight that is no estimate, of each horse with an open case or in treatment. */
export const findWeights = (
  tx: Transaction,
  horsesInTreatment: readonly string[],
): Promise<{ id: string; name: string; yard: string; weighedAt: Date | null }[]> => tx.$queryRaw`
  SELECT h.id, h.name, y.name AS yard, (SELECT max(w.weighed_at) FROM weighings w WHERE w.practice_id = h.practice_id AND w.horse_id = h.id AND w.method <> 'estimate') AS "weighedAt"
  FROM horses h JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
  WHERE h.status <> 'died' AND (h.id = ANY (${[...horsesInTreatment]}::uuid[])
    OR EXISTS (SELECT 1 FROM cases c WHERE c.practice_id = h.practice_id AND c.horse_id = h.id AND c.phase <> 'closed'))
  ORDER BY 4 NULLS FIRST, h.name`;

/** Notes nobody has acknowledged, the one that was to be read first in front. */
export const findOpenNotes = (
  tx: Transaction,
): Promise<
  (Omit<Outcomes["notes"][number], "writtenAt" | "acknowledgeBy" | "isLate"> & {
    readonly writtenAt: Date;
    readonly acknowledgeBy: Date;
  })[]
> => tx.$queryRaw`
  SELECT n.id, json_build_object('id', h.id, 'name', h.name) AS horse, n.situation, json_build_object('id', f.id, 'name', f.name) AS "fromPerson", n.to_role AS "toRole",
    CASE WHEN t.id IS NULL THEN NULL ELSE json_build_object('id', t.id, 'name', t.name) END AS "toPerson", n.urgent, n.written_at AS "writtenAt", n.acknowledge_by AS "acknowledgeBy"
  FROM handoff_notes n JOIN horses h ON h.practice_id = n.practice_id AND h.id = n.horse_id JOIN people f ON f.practice_id = n.practice_id AND f.id = n.from_person
  LEFT JOIN people t ON t.practice_id = n.practice_id AND t.id = n.to_person
  WHERE n.acknowledged_at IS NULL AND h.status <> 'died' ORDER BY n.acknowledge_by, n.id LIMIT 500`;
