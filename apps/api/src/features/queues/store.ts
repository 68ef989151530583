import type { Phase } from "@heelward/domain/cases";
import { HANDOFF_HOURS } from "@heelward/domain/handoff";
import type { QueueKind } from "@heelward/domain/queue";
import { Prisma, type Transaction } from "../../database/client.ts";
import { filmTaken } from "../tasks/read-model.ts";

/** One open piece of work as the database knows it, before it is put in order. */
export interface OpenWork {
  readonly kind: QueueKind;
  readonly refType: string;
  readonly refId: string;
  readonly horseId: string;
  readonly horseName: string;
  readonly yardName: string;
  readonly timeZone: string;
  readonly caseId: string | null;
  readonly phase: Phase | null;
  readonly raisedAt: Date;
  readonly dueAt: Date | null;
  readonly urgent: boolean;
  readonly toRole: string | null;
  readonly because: string | null;
}

const horse = Prisma.sql`h.id AS "horseId", h.name AS "horseName", y.name AS "yardName", y.time_zone AS "timeZone", c.id AS "caseId", c.phase`;
const beside = (alias: Prisma.Sql) => Prisma.sql`
  JOIN horses h ON h.practice_id = ${alias}.practice_id AND h.id = ${alias}.horse_id
  JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
  LEFT JOIN cases c ON c.practice_id = h.practice_id AND c.horse_id = h.id AND c.phase <> 'closed'`;

/** The time for an answer to a plan: the hours for a note that the practice had set on the day it was sent. */
const replyHours = (isUrgent: Prisma.Sql, sentAt: Prisma.Sql): Prisma.Sql => Prisma.sql`
  coalesce((SELECT (s.value #>> '{}')::float8 FROM settings s JOIN practices p ON p.id = s.practice_id
    WHERE s.practice_id = x.practice_id AND jsonb_typeof(s.value) = 'number'
      AND s.key = CASE WHEN ${isUrgent} THEN ${HANDOFF_HOURS.urgent.key} ELSE ${HANDOFF_HOURS.routine.key} END
      AND s.since <= (${sentAt} AT TIME ZONE p.time_zone)::date
    ORDER BY s.since DESC, s.created_at DESC, s.id DESC LIMIT 1),
    CASE WHEN ${isUrgent} THEN ${HANDOFF_HOURS.urgent.value}::float8 ELSE ${HANDOFF_HOURS.routine.value}::float8 END) * interval '1 hour'`;

/**
 * Everything that waits for somebody, apart from resets and medicines: red flags nobody has examined,
 * films to measure, plans to sign or answer, notes to acknowledge, first-aid steps, unread results.
 * Each part reads open work only, by its partial index.
 */
export const findOpenWork = (tx: Transaction, nowMs: number): Promise<OpenWork[]> => tx.$queryRaw<
  OpenWork[]
>`
  SELECT 'red flag call' AS kind, 'examination' AS "refType", e.id AS "refId", ${horse}, e.examined_at AS "raisedAt", e.examined_at AS "dueAt", true AS urgent, NULL AS "toRole",
    coalesce(e.findings->0->>'detail', 'red flag in the yard') AS because
  FROM examinations e ${beside(Prisma.sql`e`)}
  WHERE e.is_red_flag AND e.kind = 'care check' AND (c.id IS NOT NULL OR (e.case_id IS NULL AND h.status <> 'died'))
    AND NOT EXISTS (SELECT 1 FROM examinations v WHERE v.practice_id = e.practice_id AND v.horse_id = e.horse_id AND v.kind = 'examination' AND v.examined_at >= e.examined_at)
    AND NOT EXISTS (SELECT 1 FROM examinations n WHERE n.practice_id = e.practice_id AND n.horse_id = e.horse_id AND n.is_red_flag AND n.kind = 'care check' AND (n.examined_at, n.id) > (e.examined_at, e.id))
  UNION ALL
  SELECT 'red flag call', 'phone call', p.id, ${horse}, p.called_at, p.called_at, true, NULL, coalesce(p.triage->'findings'->0->>'detail', 'called')
  FROM phone_calls p ${beside(Prisma.sql`p`)}
  WHERE c.id = p.case_id AND p.triage->>'urgency' = 'vet now'
    AND NOT EXISTS (SELECT 1 FROM examinations v WHERE v.practice_id = p.practice_id AND v.horse_id = p.horse_id AND v.kind = 'examination' AND v.examined_at >= p.called_at)
    AND NOT EXISTS (SELECT 1 FROM phone_calls n WHERE n.practice_id = p.practice_id AND n.case_id = p.case_id AND (n.called_at, n.id) > (p.called_at, p.id))
  UNION ALL
  SELECT 'appointment today', 'case', c.id, ${horse}, c.opened_at, c.opened_at, false, NULL, 'no vet has examined this bout'
  FROM cases c JOIN horses h ON h.practice_id = c.practice_id AND h.id = c.horse_id JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
  WHERE c.phase = 'acute' AND NOT EXISTS (SELECT 1 FROM examinations v WHERE v.practice_id = c.practice_id AND v.case_id = c.id AND v.kind = 'examination')
  UNION ALL
  SELECT 'unread film to measure', 'radiograph', r.id, ${horse}, r.created_at, r.created_at + interval '24 hours', false, NULL, r.foot || ', ' || r.view
  FROM radiographs r ${beside(Prisma.sql`r`)}
  WHERE c.id = r.case_id AND NOT EXISTS (SELECT 1 FROM landmark_sets l WHERE l.practice_id = r.practice_id AND l.radiograph_id = r.id AND NOT l.for_study)
  UNION ALL
  SELECT CASE x.status WHEN 'draft' THEN 'prescription draft to sign' WHEN 'signed' THEN 'prescription awaiting reply' WHEN 'queried' THEN 'prescription queried' ELSE 'prescription declined' END,
    'prescription', x.id, ${horse}, coalesce(x.replied_at, x.signed_at, x.created_at),
    CASE x.status WHEN 'draft' THEN x.created_at + interval '24 hours' WHEN 'declined' THEN x.replied_at + ${replyHours(Prisma.sql`true`, Prisma.sql`x.replied_at`)} ELSE coalesce(x.replied_at, x.signed_at) + ${replyHours(Prisma.sql`x.urgent`, Prisma.sql`coalesce(x.replied_at, x.signed_at)`)} END,
    x.urgent, NULL, x.aim
  FROM prescriptions x ${beside(Prisma.sql`x`)} WHERE x.status IN ('draft', 'signed', 'queried', 'declined') AND c.id = x.case_id
  UNION ALL
  SELECT 'handoff to acknowledge', 'handoff', n.id, ${horse}, n.written_at, n.acknowledge_by, n.urgent, n.to_role, n.situation
  FROM handoff_notes n ${beside(Prisma.sql`n`)} WHERE n.acknowledged_at IS NULL AND h.status <> 'died'
  UNION ALL
  SELECT 'first-aid checklist', 'first-aid sheet', s.id, ${horse}, s.written_at, s.written_at + interval '2 hours', true, NULL, o.open || ' steps still open'
  FROM first_aid_sheets s ${beside(Prisma.sql`s`)}
  CROSS JOIN LATERAL (SELECT count(*)::int AS open FROM jsonb_array_elements(s.sheet->'steps') step
    WHERE (step->>'checklist')::boolean AND NOT EXISTS (SELECT 1 FROM first_aid_ticks t WHERE t.practice_id = s.practice_id AND t.sheet_id = s.id AND t.step_id = step->>'id')) o
  WHERE c.id = s.case_id AND c.phase = 'acute' AND o.open > 0
    AND NOT EXISTS (SELECT 1 FROM first_aid_sheets later WHERE later.practice_id = s.practice_id AND later.case_id = s.case_id AND later.written_at > s.written_at)
  UNION ALL
  SELECT CASE t.kind WHEN 'film' THEN 'film to take' ELSE 'task due' END, 'case task', t.id, ${horse}, t.opens_on::timestamp AT TIME ZONE y.time_zone, (t.due_on + 1)::timestamp AT TIME ZONE y.time_zone,
    t.kind = 'heel raise out', CASE t.kind WHEN 'film' THEN NULL ELSE t.for_role END, t.title
  FROM case_tasks t ${beside(Prisma.sql`t`)}
  WHERE t.done_at IS NULL AND c.id = t.case_id AND t.opens_on <= (${new Date(nowMs)}::timestamptz AT TIME ZONE y.time_zone)::date AND NOT ${filmTaken}
  UNION ALL
  SELECT 'result unread', 'lab result', l.id, ${horse}, l.created_at, l.created_at + interval '24 hours', false, NULL, l.test || ' ' || l.value || ' ' || l.unit
  FROM lab_results l ${beside(Prisma.sql`l`)} WHERE l.read_at IS NULL`;

/** The latest care check of each horse with an open case or a watch on a foot. */
export const findLastChecks = (
  tx: Transaction,
): Promise<{ horseId: string; lastCheckAt: Date | null }[]> => tx.$queryRaw`
  SELECT o.horse_id AS "horseId", (SELECT max(e.examined_at) FROM examinations e WHERE e.practice_id = o.practice_id AND e.horse_id = o.horse_id AND e.kind = 'care check') AS "lastCheckAt"
  FROM (SELECT practice_id, horse_id FROM cases WHERE phase IN ('acute', 'subacute', 'chronic active')
    UNION SELECT practice_id, horse_id FROM limb_watches WHERE ended_at IS NULL) o`;
