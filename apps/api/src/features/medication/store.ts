import type { FindingView, PersonRef } from "@heelward/contracts";
import type {
  CourseStep,
  DoseOutcome,
  Hold,
  OtherMedicine,
  Override,
  Route,
  WeightMethod,
} from "@heelward/domain/medication";
import { Prisma, type Transaction } from "../../database/client.ts";

/** A later signature by which a vet carried a course on. */
export interface StoredReview {
  readonly at: string;
  readonly by: PersonRef;
  readonly reviewOn: string;
  readonly reason: string;
  readonly signedText: string;
  readonly signature: string;
  readonly keyId: string;
}

/** A vet's signed shift of the doses to come. */
export interface StoredShift {
  readonly at: string;
  readonly by: PersonRef;
  readonly fromAt: string;
  readonly byMinutes: number;
  readonly reason: string;
  readonly signedText: string;
  readonly signature: string;
  readonly keyId: string;
}

export interface CourseRow {
  readonly id: string;
  readonly horseId: string;
  readonly caseId: string | null;
  readonly horse: PersonRef;
  readonly drugKey: string;
  readonly presentationKey: string;
  readonly route: Route;
  readonly steps: readonly CourseStep[];
  readonly startOn: string;
  readonly endOn: string | null;
  readonly timeZone: string;
  readonly weightKg: number;
  readonly weightLowKg: number;
  readonly weightHighKg: number;
  readonly weightMethod: WeightMethod;
  readonly status: "draft" | "signed" | "held" | "stopped" | "finished";
  readonly reason: string | null;
  readonly instructions: string | null;
  readonly findings: readonly FindingView[];
  readonly overrides: readonly Override[];
  readonly reviewOn: string | null;
  readonly reviews: readonly StoredReview[];
  readonly shifts: readonly StoredShift[];
  readonly continuesFromDay: number | null;
  readonly restartsSeries: boolean;
  readonly vetSetsSchedule: boolean;
  readonly hydrationRecorded: boolean;
  readonly recheckOn: string | null;
  readonly replacesCourseId: string | null;
  readonly draftedBy: PersonRef;
  readonly signedBy: PersonRef | null;
  readonly signedAt: Date | null;
  readonly signature: string | null;
  readonly stoppedAt: Date | null;
  readonly stopReason: string | null;
  readonly hold: {
    readonly id: string;
    readonly reason: string;
    readonly raisedAt: string;
    readonly raisedBy: PersonRef | null;
    readonly findings: readonly FindingView[];
  } | null;
  readonly createdAt: Date;
  readonly version: number;
}

export interface CourseFilter {
  readonly id?: string;
  readonly horseIds?: readonly string[];
  readonly statuses?: readonly string[];
  /** Courses whose last day is on or after this day. */
  readonly endingFrom?: string;
  readonly after?: readonly string[] | null;
  readonly limit?: number;
}

const uuids = (ids: readonly string[]): Prisma.Sql => Prisma.sql`${[...ids]}::uuid[]`;

/** Courses, newest first, before the cursor's time and id. */
export const findCourses = (tx: Transaction, filter: CourseFilter): Promise<CourseRow[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.id !== undefined) conditions.push(Prisma.sql`m.id = ${filter.id}::uuid`);
  if (filter.horseIds !== undefined)
    conditions.push(Prisma.sql`m.horse_id = ANY (${uuids(filter.horseIds)})`);
  if (filter.statuses !== undefined)
    conditions.push(Prisma.sql`m.status = ANY (${[...filter.statuses]})`);
  if (filter.endingFrom !== undefined)
    conditions.push(Prisma.sql`(m.end_on IS NULL OR m.end_on >= ${filter.endingFrom}::date)`);
  if (filter.after !== undefined && filter.after !== null)
    conditions.push(
      Prisma.sql`(m.created_at, m.id) < (${new Date(filter.after[0] ?? 0)}, ${filter.after[1]}::uuid)`,
    );
  return tx.$queryRaw<CourseRow[]>`
    SELECT m.id, m.horse_id AS "horseId", m.case_id AS "caseId", json_build_object('id', h.id, 'name', h.name) AS horse, m.drug_key AS "drugKey",
      m.presentation_key AS "presentationKey", m.route, m.steps, m.start_on::text AS "startOn", m.end_on::text AS "endOn", m.time_zone AS "timeZone",
      m.weight_kg AS "weightKg", m.weight_low_kg AS "weightLowKg", m.weight_high_kg AS "weightHighKg", m.weight_method AS "weightMethod", m.status, m.reason,
      m.instructions, m.findings, m.overrides, m.review_on::text AS "reviewOn", m.reviews, m.shifts, m.continues_from_day AS "continuesFromDay", m.restarts_series AS "restartsSeries",
      m.vet_sets_schedule AS "vetSetsSchedule", m.hydration_recorded AS "hydrationRecorded", m.recheck_on::text AS "recheckOn", m.replaces_id AS "replacesCourseId",
      json_build_object('id', d.id, 'name', d.name) AS "draftedBy", CASE WHEN s.id IS NULL THEN NULL ELSE json_build_object('id', s.id, 'name', s.name) END AS "signedBy",
      m.signed_at AS "signedAt", m.signature, m.stopped_at AS "stoppedAt", m.stop_reason AS "stopReason", m.created_at AS "createdAt", m.version,
      (SELECT json_build_object('id', o.id, 'reason', o.reason, 'raisedAt', o.raised_at, 'findings', o.findings,
          'raisedBy', CASE WHEN r.id IS NULL THEN NULL ELSE json_build_object('id', r.id, 'name', r.name) END)
        FROM holds o LEFT JOIN people r ON r.practice_id = o.practice_id AND r.id = o.raised_by
        WHERE o.practice_id = m.practice_id AND o.course_id = m.id AND o.released_at IS NULL ORDER BY o.raised_at DESC, o.id DESC LIMIT 1) AS hold
    FROM medication_courses m JOIN horses h ON h.practice_id = m.practice_id AND h.id = m.horse_id
    JOIN people d ON d.practice_id = m.practice_id AND d.id = m.drafted_by
    LEFT JOIN people s ON s.practice_id = m.practice_id AND s.id = m.signed_by
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY m.created_at DESC, m.id DESC LIMIT ${filter.limit ?? 1000}`;
};

/** Marks signed courses past their last day at the yard as finished. */
export const finishOverdue = (
  tx: Transaction,
  now: Date,
  horseId: string | undefined,
): Promise<
  { id: string; horseId: string; caseId: string | null; drugKey: string; endOn: string }[]
> => tx.$queryRaw`
  UPDATE medication_courses SET status = 'finished'
  WHERE status = 'signed' AND end_on < (${now}::timestamptz AT TIME ZONE time_zone)::date
    AND ${horseId === undefined ? Prisma.sql`true` : Prisma.sql`horse_id = ${horseId}::uuid`}
  RETURNING id, horse_id AS "horseId", case_id AS "caseId", drug_key AS "drugKey", end_on::text AS "endOn"`;

export interface HorseRow {
  readonly id: string;
  readonly name: string;
  readonly type: "horse" | "pony" | "donkey";
  readonly bornOn: string | null;
  readonly heightCm: number | null;
  readonly pregnant: boolean;
  readonly lactating: boolean;
  readonly conditions: readonly string[];
  readonly foodChain: "excluded" | "not excluded" | "passport not seen";
  readonly status: string;
  readonly timeZone: string;
  readonly yardId: string;
  /** Degrees north; says which half of the year is autumn. */
  readonly lat: number;
  readonly openCaseId: string | null;
  readonly phase: string | null;
}

/** Horses with what the dose rules ask about them. */
export const findHorses = (
  tx: Transaction,
  filter: { readonly ids?: readonly string[]; readonly yardId?: string | undefined },
): Promise<HorseRow[]> => tx.$queryRaw<HorseRow[]>`
  SELECT h.id, h.name, h.type, h.born_on::text AS "bornOn", h.height_cm AS "heightCm", h.pregnant, h.lactating, h.conditions, h.food_chain AS "foodChain", h.status,
    y.time_zone AS "timeZone", h.yard_id AS "yardId", y.lat, c.id AS "openCaseId", c.phase
  FROM horses h JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
  LEFT JOIN cases c ON c.practice_id = h.practice_id AND c.horse_id = h.id AND c.phase <> 'closed'
  WHERE ${filter.ids === undefined ? Prisma.sql`true` : Prisma.sql`h.id = ANY (${uuids(filter.ids)})`}
    AND ${filter.yardId === undefined ? Prisma.sql`true` : Prisma.sql`h.yard_id = ${filter.yardId}::uuid`}
  ORDER BY lower(h.name), h.id`;

/**
 * Locks a horse, so that signatures, doses and holds of one animal follow one after the other.
 * `NO KEY UPDATE` shuts out every other such lock, yet lets rows that merely name the horse be
 * written: two people who each wrote a weighing first do not wait for one another for ever.
 */
export const lockHorse = async (tx: Transaction, horseId: string): Promise<boolean> => {
  const rows = await tx.$queryRaw<
    { id: string }[]
  >`SELECT id FROM horses WHERE id = ${horseId}::uuid FOR NO KEY UPDATE`;
  return rows.length === 1;
};

/** Keeps a case from being closed until this transaction ends. */
export const shareCase = async (tx: Transaction, caseId: string): Promise<void> => {
  await tx.$queryRaw`SELECT id FROM cases WHERE id = ${caseId}::uuid FOR SHARE`;
};

export interface WeightRow {
  readonly horseId: string;
  readonly weightKg: number;
  readonly lowKg: number;
  readonly highKg: number;
  readonly method: WeightMethod;
  readonly weighedAt: Date;
}

/** Weighings, oldest first. */
export const findWeights = (
  tx: Transaction,
  horseIds: readonly string[],
): Promise<WeightRow[]> => tx.$queryRaw<WeightRow[]>`
  SELECT horse_id AS "horseId", weight_kg AS "weightKg", low_kg AS "lowKg", high_kg AS "highKg", method, weighed_at AS "weighedAt"
  FROM weighings WHERE horse_id = ANY (${uuids(horseIds)}) ORDER BY weighed_at, id`;

export interface DoseRow {
  readonly id: string;
  readonly horseId: string;
  readonly courseId: string | null;
  readonly drugKey: string;
  readonly presentationKey: string | null;
  readonly route: Route;
  readonly doseMg: number;
  readonly outcome: DoseOutcome;
  readonly scheduledAt: Date | null;
  readonly givenAt: Date;
  readonly receivedAt: Date;
  readonly givenBy: PersonRef;
  readonly batch: string | null;
  readonly reason: string | null;
  readonly findings: readonly FindingView[];
}

/** Dose records, latest first, before the cursor's time and id. */
export const findDoses = (
  tx: Transaction,
  filter: {
    readonly id?: string;
    readonly horseIds?: readonly string[];
    readonly sinceMs?: number | undefined;
    readonly untilMs?: number | undefined;
    readonly after?: readonly string[] | null;
    readonly limit?: number;
  },
): Promise<DoseRow[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.id !== undefined) conditions.push(Prisma.sql`e.id = ${filter.id}::uuid`);
  if (filter.horseIds !== undefined)
    conditions.push(Prisma.sql`e.horse_id = ANY (${uuids(filter.horseIds)})`);
  if (filter.sinceMs !== undefined)
    conditions.push(Prisma.sql`e.given_at >= ${new Date(filter.sinceMs)}`);
  if (filter.untilMs !== undefined)
    conditions.push(Prisma.sql`e.given_at < ${new Date(filter.untilMs)}`);
  if (filter.after !== undefined && filter.after !== null)
    conditions.push(
      Prisma.sql`(e.given_at, e.id) < (${new Date(filter.after[0] ?? 0)}, ${filter.after[1]}::uuid)`,
    );
  const limit = filter.limit === undefined ? Prisma.empty : Prisma.sql`LIMIT ${filter.limit}`;
  return tx.$queryRaw<DoseRow[]>`
    SELECT e.id, e.horse_id AS "horseId", e.course_id AS "courseId", e.drug_key AS "drugKey", e.presentation_key AS "presentationKey", e.route, e.dose_mg AS "doseMg",
      e.outcome, e.scheduled_at AS "scheduledAt", e.given_at AS "givenAt", e.created_at AS "receivedAt", json_build_object('id', p.id, 'name', p.name) AS "givenBy",
      e.batch, e.reason, e.findings
    FROM dose_records e JOIN people p ON p.practice_id = e.practice_id AND p.id = e.given_by
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY e.given_at DESC, e.id DESC ${limit}`;
};

export interface GivenElsewhere {
  readonly horseId: string;
  readonly name: string;
  readonly class: OtherMedicine["class"];
  readonly givenAt: Date;
}

/** Medicines given outside the formulary that other rules look at. */
export const findGivenElsewhere = (
  tx: Transaction,
  horseIds: readonly string[],
): Promise<GivenElsewhere[]> =>
  tx.$queryRaw<GivenElsewhere[]>`
  SELECT horse_id AS "horseId", name, class, given_at AS "givenAt" FROM other_medicines
  WHERE horse_id = ANY (${uuids(horseIds)}) ORDER BY given_at DESC, id DESC`;

export interface HoldRow {
  readonly id: string;
  readonly horseId: string;
  readonly courseId: string;
  readonly why: Hold["why"];
  readonly reason: string;
  readonly raisedAt: Date;
  readonly releasedAt: Date | null;
}

export const findHolds = (tx: Transaction, horseIds: readonly string[]): Promise<HoldRow[]> =>
  tx.$queryRaw<HoldRow[]>`
  SELECT id, horse_id AS "horseId", course_id AS "courseId", why, reason, raised_at AS "raisedAt", released_at AS "releasedAt"
  FROM holds WHERE horse_id = ANY (${uuids(horseIds)}) ORDER BY raised_at, id`;

export interface ResultRow {
  readonly horseId: string;
  readonly test: string;
  readonly value: number;
  readonly unit: string;
  readonly takenOn: string;
}

export const findResults = (
  tx: Transaction,
  horseIds: readonly string[],
): Promise<ResultRow[]> => tx.$queryRaw<ResultRow[]>`
  SELECT horse_id AS "horseId", test, value, unit, taken_on::text AS "takenOn" FROM lab_results
  WHERE horse_id = ANY (${uuids(horseIds)}) ORDER BY taken_on, id`;

/** The practice's own figures in force on a day, each key once. */
export const findSettings = (tx: Transaction, on: string) =>
  tx.$queryRaw<{ key: string; value: unknown }[]>`
  SELECT DISTINCT ON (key) key, value FROM settings
  WHERE (key LIKE 'medication.%' OR key LIKE 'horse.weight-change-%') AND since <= ${on}::date ORDER BY key, since DESC, created_at DESC, id DESC`;

export interface RefusalRow {
  readonly id: string;
  readonly kind: string;
  readonly requestedAt: Date;
  readonly requestedBy: PersonRef;
  readonly request: unknown;
  readonly findings: readonly FindingView[];
}

/** What was asked for and refused, latest first, before the cursor's time and id. */
export const findRefusals = (
  tx: Transaction,
  horseId: string,
  filter: { readonly after: readonly string[] | null; readonly limit: number },
): Promise<RefusalRow[]> => tx.$queryRaw<RefusalRow[]>`
  SELECT r.id, r.kind, r.requested_at AS "requestedAt", json_build_object('id', p.id, 'name', p.name) AS "requestedBy", r.request, r.findings
  FROM refused_requests r JOIN people p ON p.practice_id = r.practice_id AND p.id = r.requested_by
  WHERE r.horse_id = ${horseId}::uuid AND r.kind <> ${ASKED_WITHIN_LIMITS}
    AND ${filter.after === null ? Prisma.sql`true` : Prisma.sql`(r.requested_at, r.id) < (${new Date(filter.after[0] ?? 0)}, ${filter.after[1]}::uuid)`}
  ORDER BY r.requested_at DESC, r.id DESC LIMIT ${filter.limit}`;

/** Kind of a kept wish that broke no rule: for the vet to decide, not a refusal. */
export const ASKED_WITHIN_LIMITS = "wish for the vet";
