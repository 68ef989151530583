import type { Phase } from "@heelward/domain/cases";
import type { ContactAnswer, ResetOutcome } from "@heelward/domain/cycle";
import type { AnimalType } from "@heelward/domain/horse";
import type { LocalDate } from "@heelward/domain/time";
import { Prisma, type Transaction } from "../../database/client.ts";
import type { Work } from "../../http/work.ts";
import { JOB_MINUTES, type OwnFigures } from "./job.ts";

interface Person {
  readonly id: string;
  readonly name: string;
}

export interface ResetRow {
  readonly id: string;
  readonly horse: { readonly id: string; readonly name: string; readonly type: AnimalType };
  readonly bornOn: LocalDate | null;
  readonly yard: { readonly id: string; readonly name: string; readonly timeZone: string };
  readonly caseId: string | null;
  readonly phase: Phase | null;
  readonly farrier: Person | null;
  readonly leadVet: string | null;
  readonly status: "open" | "booked" | "done" | "dropped";
  readonly lastDoneOn: Date;
  readonly intervalDays: number;
  readonly dueOn: Date;
  readonly forecastLimitOn: Date | null;
  readonly likelyLimitOn: Date | null;
  readonly breakoverAfterMm: number | null;
  readonly breakoverLimitMm: number | null;
  readonly growthMmPer30d: number | null;
  readonly wearFraction: number | null;
  readonly wallAngleDegrees: number | null;
  readonly lengthenReason: string | null;
  readonly bookedFor: Date | null;
  readonly bookedMinutes: number | null;
  readonly job: string | null;
  readonly pausedReason: string | null;
  readonly isPainUp: boolean;
  readonly attempts: readonly {
    readonly id: string;
    readonly at: string;
    readonly kind: "contact" | "rebooked" | Exclude<ResetOutcome, "done">;
    readonly channel: "text" | "call" | "mail" | "in person" | null;
    readonly answer: ContactAnswer | null;
    readonly detail: string;
    readonly madeBy: Person;
  }[];
  readonly ownerAnswer: ContactAnswer | null;
  readonly feet: string | null;
  /** The plan to work from that has not been carried out yet. */
  readonly plan: {
    readonly id: string;
    readonly feet: readonly { readonly shoe: string; readonly fixing: string }[];
    readonly conditions: { readonly vetPresent?: boolean; readonly handler?: boolean };
  } | null;
  readonly lastFilmAt: Date | null;
  readonly closedOn: readonly Date[];
  readonly opening: readonly {
    readonly weekday: number;
    readonly opens: string;
    readonly closes: string;
  }[];
  /** The practice's own days for lateness and film age, and its own minutes and growth, that hold today. */
  readonly ownFigures: OwnFigures;
  readonly version: number;
}

/** Who is named where no person wrote: an automatic reminder. */
const REMINDER_SERVICE = "Reminder service";

/** A red flag in the yard that no vet has examined since. */
const PAIN_UP = Prisma.sql`EXISTS (
  SELECT 1 FROM examinations e WHERE e.practice_id = r.practice_id AND e.horse_id = r.horse_id AND e.is_red_flag AND e.kind = 'care check'
    AND NOT EXISTS (SELECT 1 FROM examinations v WHERE v.practice_id = e.practice_id AND v.horse_id = e.horse_id AND v.kind = 'examination' AND v.examined_at >= e.examined_at))`;

export interface ResetFilter {
  readonly id?: string;
  readonly horseId?: string | undefined;
  readonly farrierId?: string | undefined;
  readonly yardId?: string | undefined;
  readonly dueBefore?: string | undefined;
  readonly bookedBetween?: readonly [Date, Date];
  readonly isOpen?: boolean;
  readonly after?: readonly string[] | null;
  readonly limit: number;
}

const FIGURE_KEYS = Object.values(JOB_MINUTES).map((setting) => setting.key);

/** The practice's own values of the figures a reset is judged and timed by, of its day at an instant. */
const ownFigures = (nowMs: number): Prisma.Sql => Prisma.sql`(
  SELECT jsonb_object_agg(own.key, own.value) FROM (
    SELECT DISTINCT ON (s.key) s.key, s.value FROM settings s JOIN practices p ON p.id = s.practice_id
    WHERE (s.key = ANY (${FIGURE_KEYS}) OR s.key LIKE 'cycle.%' OR s.key LIKE 'growth.%') AND jsonb_typeof(s.value) = 'number'
      AND s.since <= (${new Date(nowMs)} AT TIME ZONE p.time_zone)::date
    ORDER BY s.key, s.since DESC, s.created_at DESC, s.id DESC) own)`;

/** Resets, earliest due first, after the cursor's day and id. */
export const findResets = (
  { tx, nowMs }: Pick<Work, "tx" | "nowMs">,
  filter: ResetFilter,
): Promise<ResetRow[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.id !== undefined) conditions.push(Prisma.sql`r.id = ${filter.id}::uuid`);
  if (filter.horseId !== undefined)
    conditions.push(Prisma.sql`r.horse_id = ${filter.horseId}::uuid`);
  if (filter.farrierId !== undefined)
    conditions.push(Prisma.sql`coalesce(r.farrier_id, h.farrier_id) = ${filter.farrierId}::uuid`);
  if (filter.yardId !== undefined) conditions.push(Prisma.sql`h.yard_id = ${filter.yardId}::uuid`);
  if (filter.dueBefore !== undefined)
    conditions.push(Prisma.sql`r.due_on <= ${filter.dueBefore}::date`);
  if (filter.bookedBetween !== undefined)
    conditions.push(
      Prisma.sql`r.booked_for >= ${filter.bookedBetween[0]} AND r.booked_for < ${filter.bookedBetween[1]}`,
    );
  if (filter.isOpen === true) conditions.push(Prisma.sql`r.status IN ('open', 'booked')`);
  if (filter.after !== undefined && filter.after !== null)
    conditions.push(
      Prisma.sql`(r.due_on, r.id) > (${filter.after[0]}::date, ${filter.after[1]}::uuid)`,
    );
  return tx.$queryRaw<ResetRow[]>`
    SELECT r.id, json_build_object('id', h.id, 'name', h.name, 'type', h.type) AS horse, h.born_on::text AS "bornOn", json_build_object('id', y.id, 'name', y.name, 'timeZone', y.time_zone) AS yard,
      c.id AS "caseId", c.phase, CASE WHEN f.id IS NULL THEN NULL ELSE json_build_object('id', f.id, 'name', f.name) END AS farrier, v.name AS "leadVet", r.status,
      r.last_done_on AS "lastDoneOn", r.interval_days AS "intervalDays", r.due_on AS "dueOn", r.forecast_limit_on AS "forecastLimitOn", r.likely_limit_on AS "likelyLimitOn", r.breakover_after_mm AS "breakoverAfterMm",
      h.breakover_limit_mm AS "breakoverLimitMm", h.growth_mm_per_30d AS "growthMmPer30d", h.wear_fraction AS "wearFraction", h.wall_angle_degrees AS "wallAngleDegrees",
      r.lengthen_reason AS "lengthenReason", r.booked_for AS "bookedFor", r.booked_minutes AS "bookedMinutes", r.job, r.paused_reason AS "pausedReason", ${PAIN_UP} AS "isPainUp",
      coalesce((SELECT json_agg(json_build_object('id', a.id, 'at', a.at, 'kind', a.kind, 'channel', a.channel, 'answer', a.answer, 'detail', a.detail,
          'madeBy', json_build_object('id', coalesce(p.id, a.practice_id), 'name', coalesce(p.name, ${REMINDER_SERVICE}::text))) ORDER BY a.at DESC, a.id DESC)
        FROM reset_attempts a LEFT JOIN people p ON p.practice_id = a.practice_id AND p.id = a.made_by WHERE a.practice_id = r.practice_id AND a.reset_id = r.id), '[]') AS attempts,
      r.owner_answer AS "ownerAnswer", h.feet,
      (SELECT json_build_object('id', pl.id, 'feet', pl.feet, 'conditions', pl.conditions) FROM prescriptions pl
        WHERE pl.practice_id = r.practice_id AND pl.horse_id = r.horse_id AND pl.status IN ('signed', 'accepted', 'queried') ORDER BY pl.signed_at DESC, pl.id LIMIT 1) AS plan,
      (SELECT max(f.taken_at) FROM radiographs f WHERE f.practice_id = r.practice_id AND f.horse_id = r.horse_id) AS "lastFilmAt",
      y.closed_on AS "closedOn", y.opening, ${ownFigures(nowMs)} AS "ownFigures", r.version
    FROM resets r JOIN horses h ON h.practice_id = r.practice_id AND h.id = r.horse_id JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
    LEFT JOIN cases c ON c.practice_id = h.practice_id AND c.horse_id = h.id AND c.phase <> 'closed'
    LEFT JOIN people v ON v.practice_id = c.practice_id AND v.id = c.lead_vet_id
    LEFT JOIN people f ON f.practice_id = r.practice_id AND f.id = coalesce(r.farrier_id, h.farrier_id)
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY r.due_on, r.id LIMIT ${filter.limit}`;
};

export interface BookedVisit {
  readonly resetId: string;
  readonly bookedFor: Date;
  readonly minutes: number | null;
  readonly horseName: string;
}

/** A farrier's booked visits between two instants. */
export const findBooked = (
  tx: Transaction,
  farrierId: string,
  between: readonly [Date, Date],
): Promise<BookedVisit[]> => tx.$queryRaw<BookedVisit[]>`
  SELECT r.id AS "resetId", r.booked_for AS "bookedFor", r.booked_minutes AS minutes, h.name AS "horseName"
  FROM resets r JOIN horses h ON h.practice_id = r.practice_id AND h.id = r.horse_id
  WHERE r.status = 'booked' AND r.booked_for >= ${between[0]} AND r.booked_for < ${between[1]}
    AND coalesce(r.farrier_id, h.farrier_id) = ${farrierId}::uuid ORDER BY r.booked_for, r.id`;

/** Locks a reset for a change and gives its version. */
export const lockReset = async (tx: Transaction, id: string): Promise<number | null> => {
  const [row] = await tx.$queryRaw<
    { version: number }[]
  >`SELECT version FROM resets WHERE id = ${id}::uuid FOR UPDATE`;
  return row?.version ?? null;
};

/** Why the plan a horse is kept by goes past the ceiling, in the signing vet's words; null when it does not. */
export const signedLengthening = async (
  tx: Transaction,
  horseId: string,
  intervalDays: number,
): Promise<string | null> => {
  const [row] = await tx.$queryRaw<{ reason: string | null }[]>`
    SELECT signed_text::jsonb ->> 'longerIntervalReason' AS reason FROM prescriptions
    WHERE horse_id = ${horseId}::uuid AND interval_days = ${intervalDays} AND signed_at IS NOT NULL
      AND status IN ('signed', 'accepted', 'queried', 'done') ORDER BY signed_at DESC, id LIMIT 1`;
  return row?.reason ?? null;
};
