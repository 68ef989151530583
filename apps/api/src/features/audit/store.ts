import { Prisma, type Transaction } from "../../database/client.ts";
import type { StoredEntry } from "../../records/audit.ts";

export interface ListedEntry extends StoredEntry {
  readonly actor: { readonly id: string; readonly name: string } | null;
}

/** Entries, newest first, before a sequence number. */
export const findEntries = (
  tx: Transaction,
  filter: {
    readonly horseId?: string | undefined;
    readonly subjectType?: string | undefined;
    readonly subjectId?: string | undefined;
    readonly before: bigint | null;
    readonly limit: number;
  },
): Promise<ListedEntry[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.horseId !== undefined)
    conditions.push(Prisma.sql`a.horse_id = ${filter.horseId}::uuid`);
  if (filter.subjectType !== undefined)
    conditions.push(Prisma.sql`a.subject_type = ${filter.subjectType}`);
  if (filter.subjectId !== undefined)
    conditions.push(Prisma.sql`a.subject_id = ${filter.subjectId}::uuid`);
  if (filter.before !== null) conditions.push(Prisma.sql`a.sequence < ${filter.before}`);
  return tx.$queryRaw<ListedEntry[]>`
    SELECT a.practice_id AS "practiceId", a.sequence, a.at, a.entry, a.previous_hash AS "previousHash", a.hash, a.event, a.actor_id AS "actorId", a.horse_id AS "horseId",
      a.subject_type AS "subjectType", a.subject_id AS "subjectId", CASE WHEN p.id IS NULL THEN NULL ELSE json_build_object('id', p.id, 'name', p.name) END AS actor
    FROM audit_entries a LEFT JOIN people p ON p.practice_id = a.practice_id AND p.id = a.actor_id
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY a.sequence DESC LIMIT ${filter.limit}`;
};

/** The next entries of the chain in order, up to the head that was read before the walk. */
export const nextEntries = (
  tx: Transaction,
  after: bigint | null,
  upTo: bigint,
  limit: number,
): Promise<StoredEntry[]> =>
  tx.auditEntry.findMany({
    where: { sequence: { ...(after === null ? {} : { gt: after }), lte: upTo } },
    orderBy: { sequence: "asc" },
    take: limit,
  });

/** Where the chain says it ends and where its last entry stands, as of one moment. */
export const readHead = async (tx: Transaction) => {
  const [row] = await tx.$queryRaw<
    { sequence: bigint | null; hash: string | null; last: bigint | null }[]
  >`
    SELECT h.sequence, h.hash, (SELECT max(sequence) FROM audit_entries) AS last FROM (SELECT 1) one LEFT JOIN audit_heads h ON true`;
  return {
    head:
      row?.sequence === null || row?.sequence === undefined || row.hash === null
        ? undefined
        : { sequence: row.sequence, hash: row.hash },
    last: row?.last ?? 0n,
  };
};

/** A signature with what was signed and what the row says beside it. */
export interface SignedRow {
  readonly id: string;
  /** What the signature is about, where that is not the row itself. */
  readonly subjectId?: string;
  readonly signedText: string | null;
  readonly signature: string | null;
  readonly keyId: string | null;
  /** The row's own fields under the names they have in the signed text; dotted names go inside. */
  readonly fields: Readonly<Record<string, unknown>>;
}

type Page = (tx: Transaction, after: string, limit: number) => Promise<SignedRow[]>;

const prescriptions: Page = (tx, after, limit) => tx.$queryRaw<SignedRow[]>`
  SELECT x.id, x.signed_text AS "signedText", x.signature, x.signing_key_id AS "keyId", jsonb_build_object(
    'prescriptionId', x.id, 'number', x.number, 'caseId', x.case_id, 'horse.id', x.horse_id, 'aim', x.aim, 'feet', x.feet, 'doNot', x.do_not, 'conditions', x.conditions,
    'intervalDays', x.interval_days, 'radiographIds', x.radiograph_ids, 'findings', x.findings, 'overrides', x.overrides, 'replaces', x.replaces_id, 'signer.id', x.signed_by,
    'signedAt', x.signed_at) AS fields
  FROM prescriptions x WHERE x.id > ${after}::uuid AND (x.status NOT IN ('draft', 'withdrawn') OR x.signed_text IS NOT NULL OR x.signature IS NOT NULL)
  ORDER BY x.id LIMIT ${limit}`;

const courses: Page = (tx, after, limit) => tx.$queryRaw<SignedRow[]>`
  SELECT m.id, m.signed_text AS "signedText", m.signature, m.signing_key_id AS "keyId", jsonb_build_object(
    'courseId', m.id, 'horseId', m.horse_id, 'caseId', m.case_id, 'drug.key', m.drug_key, 'drug.presentation', m.presentation_key, 'drug.route', m.route, 'steps', m.steps,
    'startOn', m.start_on, 'endOn', m.end_on, 'timeZone', m.time_zone, 'instructions', m.instructions, 'continuesFromDay', m.continues_from_day,
    'restartsSeries', m.restarts_series, 'vetSetsSchedule', m.vet_sets_schedule, 'hydrationRecorded', m.hydration_recorded, 'recheckOn', m.recheck_on,
    'replacesCourseId', m.replaces_id, 'weight.weightKg', m.weight_kg, 'weight.lowKg', m.weight_low_kg, 'weight.highKg', m.weight_high_kg, 'overrides', m.overrides,
    'signer.id', m.signed_by, 'signedAt', m.signed_at) AS fields
  FROM medication_courses m WHERE m.id > ${after}::uuid AND (m.status IN ('signed', 'held', 'finished') OR m.signed_text IS NOT NULL OR m.signature IS NOT NULL)
  ORDER BY m.id LIMIT ${limit}`;

/** Later signatures by which a course was carried on. */
const reviews: Page = (tx, after, limit) => tx.$queryRaw<SignedRow[]>`
  SELECT m.id, r->>'signedText' AS "signedText", r->>'signature' AS signature, r->>'keyId' AS "keyId",
    jsonb_build_object('courseId', m.id, 'reviewOn', r->'reviewOn', 'reason', r->'reason', 'signedAt', r->'at', 'signer.id', r->'by'->'id') AS fields
  FROM (SELECT id, reviews FROM medication_courses WHERE id > ${after}::uuid AND jsonb_array_length(reviews) > 0 ORDER BY id LIMIT ${limit}) m, jsonb_array_elements(m.reviews) r
  ORDER BY m.id`;

/** Signatures by which a held course was let go on, as the timeline keeps them. */
const releases: Page = (tx, after, limit) => tx.$queryRaw<SignedRow[]>`
  SELECT e.id, e.ref_id AS "subjectId", e.data->>'signedText' AS "signedText", e.data->>'signature' AS signature, e.data->>'keyId' AS "keyId",
    jsonb_build_object('courseId', e.ref_id, 'horseId', e.horse_id, 'reason', e.detail, 'signer.id', e.person_id) AS fields
  FROM case_events e WHERE e.id > ${after}::uuid AND e.ref_type = 'medication course' AND e.data ? 'signedText' ORDER BY e.id LIMIT ${limit}`;

const procedures: Page = (tx, after, limit) => tx.$queryRaw<SignedRow[]>`
  SELECT x.id, x.signed_text AS "signedText", x.signature, x.signing_key_id AS "keyId", jsonb_build_object(
    'procedureId', x.id, 'caseId', x.case_id, 'horse.id', x.horse_id, 'foot', x.foot, 'kind', x.kind, 'reason', x.reason, 'radiographId', x.radiograph_id,
    'outlineId', x.outline_id, 'consent', x.consent, 'aftercare', x.aftercare, 'signer.id', x.signed_by, 'signedAt', x.signed_at) AS fields
  FROM procedures x WHERE x.id > ${after}::uuid AND (x.status IN ('signed', 'done') OR x.signed_text IS NOT NULL OR x.signature IS NOT NULL)
  ORDER BY x.id LIMIT ${limit}`;

const closings: Page = (tx, after, limit) => tx.$queryRaw<SignedRow[]>`
  SELECT c.id, e.data->>'signedText' AS "signedText", e.data->>'signature' AS signature, e.data->>'keyId' AS "keyId",
    jsonb_build_object('caseId', c.id, 'horseId', c.horse_id, 'reason', c.close_reason, 'note', c.close_note, 'signedAt', c.closed_at) AS fields
  FROM cases c LEFT JOIN case_events e ON e.practice_id = c.practice_id AND e.case_id = c.id AND e.ref_type = 'case' AND e.data ? 'signedText'
  WHERE c.phase = 'closed' AND c.id > ${after}::uuid ORDER BY c.id LIMIT ${limit}`;

/** A kind of signed record. */
export interface SignedKind {
  readonly name: string;
  readonly page: Page;
  /** The log must know each of its signatures. */
  readonly isLogged: boolean;
}

/** Signed records whose fields are compared with what was signed. */
export const SIGNED: readonly SignedKind[] = [
  { name: "prescription", page: prescriptions, isLogged: true },
  { name: "medication course", page: courses, isLogged: true },
  { name: "review of medication course", page: reviews, isLogged: true },
  { name: "release of medication course", page: releases, isLogged: true },
  { name: "procedure", page: procedures, isLogged: true },
  { name: "closing of case", page: closings, isLogged: true },
];

const COMPARED = ["prescriptions", "medication_courses", "procedures"];

/** Every other table that keeps signatures, so that none goes unchecked: at least text and signature must agree. */
export const otherSignedTables = async (tx: Transaction): Promise<readonly SignedKind[]> => {
  const tables = await tx.$queryRaw<{ name: string; quoted: string }[]>`
    SELECT table_name::text AS name, quote_ident(table_name) AS quoted FROM information_schema.columns
    WHERE table_schema = 'public' AND column_name IN ('id', 'signed_text', 'signature', 'signing_key_id') AND table_name <> ALL (${COMPARED})
    GROUP BY table_name HAVING count(*) = 4 ORDER BY table_name`;
  return tables.map(({ name, quoted }) => ({
    name: name.replaceAll("_", " ").replace(/s$/u, ""),
    isLogged: false,
    page: (on, after, limit) => on.$queryRaw<SignedRow[]>`
      SELECT id, signed_text AS "signedText", signature, signing_key_id AS "keyId", '{}'::jsonb AS fields FROM ${Prisma.raw(quoted)}
      WHERE id > ${after}::uuid AND (signed_text IS NOT NULL OR signature IS NOT NULL) ORDER BY id LIMIT ${limit}`,
  }));
};

/** Tables whose rows the log seals. */
export const sealedTables = async (tx: Transaction): Promise<readonly string[]> =>
  (
    await tx.$queryRaw<{ name: string }[]>`
      SELECT c.relname::text AS name FROM pg_trigger g JOIN pg_class c ON c.oid = g.tgrelid
      WHERE g.tgname = 'sealed_by_log' AND c.relnamespace = 'public'::regnamespace ORDER BY 1`
  ).map((row) => row.name);

/** The next rows of a table, by id. */
export const nextRows = (
  tx: Transaction,
  table: string,
  after: string,
  limit: number,
): Promise<{ id: string; row: string }[]> =>
  tx.$queryRaw`
    SELECT t.id, to_jsonb(t)::text AS row FROM ${Prisma.raw(`"${table}"`)} t
    WHERE t.practice_id = app_practice() AND t.id > ${after}::uuid ORDER BY t.id LIMIT ${limit}`;
