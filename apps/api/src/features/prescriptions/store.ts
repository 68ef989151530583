import type { Prescription } from "@heelward/contracts";
import { Prisma, type Transaction } from "../../database/client.ts";

export interface PrescriptionRow extends Omit<
  Prescription,
  "signedAt" | "supersededAt" | "repliedAt" | "messages" | "isCurrent"
> {
  readonly signedAt: Date | null;
  readonly supersededAt: Date | null;
  readonly repliedAt: Date | null;
  readonly messages: readonly (Omit<Prescription["messages"][number], "writtenAt"> & {
    readonly writtenAt: string;
  })[];
}

const personOf = (alias: Prisma.Sql) =>
  Prisma.sql`CASE WHEN ${alias}.id IS NULL THEN NULL ELSE json_build_object('id', ${alias}.id, 'name', ${alias}.name) END`;

/** Prescriptions with their conversation, newest first. A farrier gets no drafts but those told apart as such. */
export const findPrescriptions = (
  tx: Transaction,
  filter: {
    readonly id?: string;
    readonly caseId?: string;
    readonly horseId?: string;
    readonly statuses?: readonly string[];
  },
): Promise<PrescriptionRow[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.id !== undefined) conditions.push(Prisma.sql`x.id = ${filter.id}::uuid`);
  if (filter.caseId !== undefined) conditions.push(Prisma.sql`x.case_id = ${filter.caseId}::uuid`);
  if (filter.horseId !== undefined)
    conditions.push(Prisma.sql`x.horse_id = ${filter.horseId}::uuid`);
  if (filter.statuses !== undefined)
    conditions.push(Prisma.sql`x.status = ANY (${[...filter.statuses]})`);
  return tx.$queryRaw<PrescriptionRow[]>`
    SELECT x.id, x.horse_id AS "horseId", x.case_id AS "caseId", x.number, json_build_object('id', h.id, 'name', h.name) AS horse, x.status, x.aim, x.feet, x.do_not AS "doNot", x.conditions,
      x.interval_days AS "intervalDays", x.urgent, x.radiograph_ids AS "radiographIds", x.findings, x.overrides,
      CASE WHEN x.consent IS NULL THEN NULL ELSE jsonb_build_object('givenBy', x.consent->'by'->'name', 'words', null) || x.consent END AS consent,
      (SELECT json_build_object('fromAmount', k.from_amount, 'toAmount', k.to_amount, 'currency', k.currency, 'covers', k.covers) FROM plan_costs k WHERE k.practice_id = x.practice_id AND k.prescription_id = x.id) AS cost,
      ${personOf(Prisma.sql`d`)} AS "draftedBy", ${personOf(Prisma.sql`s`)} AS "signedBy",
      x.signed_at AS "signedAt", x.signature, x.signed_text AS "signedText", x.signing_key_id AS "signingKeyId", x.replaces_id AS "replacesId", x.superseded_at AS "supersededAt",
      ${personOf(Prisma.sql`r`)} AS "repliedBy", x.replied_at AS "repliedAt", x.version,
      coalesce((SELECT json_agg(json_build_object('id', m.id, 'kind', m.kind, 'text', m.text, 'counterProposal', m.counter_proposal, 'writtenBy', json_build_object('id', w.id, 'name', w.name), 'writtenAt', m.written_at, 'happenedAt', m.happened_at) ORDER BY m.written_at, m.id)
        FROM prescription_messages m JOIN people w ON w.practice_id = m.practice_id AND w.id = m.written_by WHERE m.practice_id = x.practice_id AND m.prescription_id = x.id), '[]') AS messages
    FROM prescriptions x JOIN horses h ON h.practice_id = x.practice_id AND h.id = x.horse_id JOIN people d ON d.practice_id = x.practice_id AND d.id = x.drafted_by
    LEFT JOIN people s ON s.practice_id = x.practice_id AND s.id = x.signed_by LEFT JOIN people r ON r.practice_id = x.practice_id AND r.id = x.replied_by
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY x.number DESC, x.id LIMIT 100`;
};

/** Locks a prescription for a change. */
export const lockPrescription = async (tx: Transaction, id: string) => {
  const [row] = await tx.$queryRaw<
    { version: number; horseId: string }[]
  >`SELECT version, horse_id AS "horseId" FROM prescriptions WHERE id = ${id}::uuid FOR UPDATE`;
  return row ?? null;
};

export const nextNumber = async (tx: Transaction, caseId: string): Promise<number> => {
  await tx.$executeRaw`SELECT pg_advisory_xact_lock(hashtextextended(${`prescription ${caseId}`}, 0))`;
  const [row] = await tx.$queryRaw<
    { number: number }[]
  >`SELECT coalesce(max(number), 0) + 1 AS number FROM prescriptions WHERE case_id = ${caseId}::uuid`;
  return row?.number ?? 1;
};

/** One signer at a time per horse: two signatures at once must not both become current. */
export const lockHorse = async (tx: Transaction, horseId: string): Promise<void> => {
  await tx.$executeRaw`SELECT 1 FROM horses WHERE id = ${horseId}::uuid FOR UPDATE`;
};
