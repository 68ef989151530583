import type { FindingView, PersonRef } from "@heelward/contracts";
import type { OtherMedicine } from "@heelward/domain/medication";
import { Prisma, type Transaction } from "../../database/client.ts";

export interface OtherMedicineRow {
  readonly id: string;
  readonly horseId: string;
  readonly name: string;
  readonly class: OtherMedicine["class"];
  readonly route: string;
  readonly amount: string | null;
  readonly batch: string | null;
  readonly givenAt: Date;
  readonly givenBy: string;
  readonly recordedBy: PersonRef;
  readonly reason: string | null;
  readonly watchUntil: string | null;
  readonly findings: readonly FindingView[];
}

/** Medicines given outside the formulary, latest first. */
export const findOtherMedicines = (
  tx: Transaction,
  filter: {
    readonly id?: string;
    readonly horseId?: string;
    readonly horseIds?: readonly string[];
  },
): Promise<OtherMedicineRow[]> => tx.$queryRaw<OtherMedicineRow[]>`
  SELECT o.id, o.horse_id AS "horseId", o.name, o.class, o.route, o.amount, o.batch, o.given_at AS "givenAt", o.given_by AS "givenBy",
    json_build_object('id', p.id, 'name', p.name) AS "recordedBy", o.reason, o.watch_until::text AS "watchUntil", o.findings
  FROM other_medicines o JOIN people p ON p.practice_id = o.practice_id AND p.id = o.recorded_by
  WHERE ${filter.id === undefined ? Prisma.sql`true` : Prisma.sql`o.id = ${filter.id}::uuid`}
    AND ${filter.horseId === undefined ? Prisma.sql`true` : Prisma.sql`o.horse_id = ${filter.horseId}::uuid`}
    AND ${filter.horseIds === undefined ? Prisma.sql`true` : Prisma.sql`o.horse_id = ANY (${[...filter.horseIds]}::uuid[])`}
  ORDER BY o.given_at DESC, o.id DESC`;

/** What the latest insulin result was read as; null where nothing could be read into it. */
export const latestInsulinReading = async (
  tx: Transaction,
  horseId: string,
): Promise<string | null> => {
  const [row] = await tx.$queryRaw<{ reading: string | null }[]>`
    SELECT reading FROM lab_results WHERE horse_id = ${horseId}::uuid AND test = 'insulin' AND reading IS NOT NULL
    ORDER BY taken_on DESC, id DESC LIMIT 1`;
  return row?.reading ?? null;
};

export interface IdentityRow {
  readonly name: string;
  readonly type: "horse" | "pony" | "donkey";
  readonly sex: string;
  readonly bornOn: string | null;
  readonly ueln: string | null;
  readonly microchip: string | null;
  readonly foodChain: string;
  readonly passportSeenOn: string | null;
  readonly yard: string;
  readonly yardAddress: string | null;
  readonly owner: string | null;
  readonly ownerPhone: string | null;
}

/** Who the animal is, as papers name it. */
export const findIdentity = async (
  tx: Transaction,
  horseId: string,
): Promise<IdentityRow | undefined> => {
  const [row] = await tx.$queryRaw<IdentityRow[]>`
    SELECT h.name, h.type, h.sex, h.born_on::text AS "bornOn", h.ueln, h.microchip, h.food_chain AS "foodChain", h.passport_seen_on::text AS "passportSeenOn",
      y.name AS yard, y.address AS "yardAddress", o.name AS owner, o.phone AS "ownerPhone"
    FROM horses h JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
    LEFT JOIN LATERAL (SELECT p.name, p.phone FROM horse_people hp JOIN people p ON p.practice_id = hp.practice_id AND p.id = hp.person_id
      WHERE hp.practice_id = h.practice_id AND hp.horse_id = h.id ORDER BY lower(p.name), p.id LIMIT 1) o ON true
    WHERE h.id = ${horseId}::uuid`;
  return row;
};

export interface PrescriptionRow {
  readonly id: string;
  readonly number: number;
  readonly horseId: string;
  readonly caseId: string | null;
  readonly courseId: string;
  readonly issuedOn: string;
  readonly lastOn: string;
  readonly repeats: number;
  readonly kind: PrescriptionKindRow;
  readonly fields: Readonly<Record<string, string>>;
  readonly findings: readonly FindingView[];
  readonly issuedBy: PersonRef;
  readonly issuedAt: Date;
  readonly signedText: string;
  readonly signature: string;
  readonly keyId: string;
  readonly supplies: readonly {
    readonly id: string;
    readonly number: number;
    readonly suppliedOn: string;
    readonly quantity: string;
    readonly batch: string | null;
    readonly suppliedBy: PersonRef;
  }[];
}

/** What a prescription is about, as stored. */
export interface PrescriptionKindRow {
  readonly jurisdiction: "UK" | "EU" | "US" | "general";
  readonly controlled: "schedule 2" | "schedule 3" | "schedule 4" | null;
  readonly antimicrobial: boolean;
  readonly offLabel: boolean;
  readonly foodAnimal: boolean;
  readonly repeatable: boolean;
}

/** Written prescriptions with what was supplied on them, latest first. */
export const findPrescriptions = (
  tx: Transaction,
  filter: {
    readonly id?: string;
    readonly horseId?: string;
    readonly issuedBy?: string;
    readonly limit?: number;
  },
): Promise<PrescriptionRow[]> => tx.$queryRaw<PrescriptionRow[]>`
  SELECT w.id, w.number, w.horse_id AS "horseId", w.case_id AS "caseId", w.course_id AS "courseId", w.issued_on::text AS "issuedOn", w.last_on::text AS "lastOn",
    w.repeats, w.kind, w.fields, w.findings, json_build_object('id', p.id, 'name', p.name) AS "issuedBy", w.issued_at AS "issuedAt", w.signed_text AS "signedText", w.signature,
    w.signing_key_id AS "keyId",
    coalesce((SELECT json_agg(json_build_object('id', s.id, 'number', s.number, 'suppliedOn', s.supplied_on, 'quantity', s.quantity, 'batch', s.batch,
        'suppliedBy', json_build_object('id', q.id, 'name', q.name)) ORDER BY s.number)
      FROM prescription_supplies s JOIN people q ON q.practice_id = s.practice_id AND q.id = s.supplied_by
      WHERE s.practice_id = w.practice_id AND s.written_prescription_id = w.id), '[]'::json) AS supplies
  FROM written_prescriptions w JOIN people p ON p.practice_id = w.practice_id AND p.id = w.issued_by
  WHERE ${filter.id === undefined ? Prisma.sql`true` : Prisma.sql`w.id = ${filter.id}::uuid`}
    AND ${filter.horseId === undefined ? Prisma.sql`true` : Prisma.sql`w.horse_id = ${filter.horseId}::uuid`}
    AND ${filter.issuedBy === undefined ? Prisma.sql`true` : Prisma.sql`w.issued_by = ${filter.issuedBy}::uuid`}
  ORDER BY w.issued_at DESC, w.id DESC LIMIT ${filter.limit ?? 200}`;

/** The next number of the practice; held to the end of the transaction, so that no two get the same. */
export const nextPrescriptionNumber = async (
  tx: Transaction,
  practiceId: string,
): Promise<number> => {
  await tx.$queryRaw`SELECT pg_advisory_xact_lock(hashtextextended(${`prescription number ${practiceId}`}, 0))::text AS done`;
  const [row] = await tx.$queryRaw<{ number: number }[]>`
    SELECT coalesce(max(number), 0)::int + 1 AS number FROM written_prescriptions`;
  return row?.number ?? 1;
};
