import type { ArrivalView } from "@heelward/contracts";
import { Prisma, type Transaction } from "../../database/client.ts";

type Instants = "happenedAt" | "deviceAt" | "receivedAt";
type ArrivalRow = Omit<ArrivalView, Instants> & Readonly<Record<Instants, Date>>;

/** What came late, latest first, before the cursor's time and id. */
export const findArrivals = async (
  tx: Transaction,
  filter: {
    readonly horseId?: string | undefined;
    readonly deviceId?: string | undefined;
    readonly after: readonly string[] | null;
    readonly limit: number;
  },
): Promise<ArrivalView[]> => {
  const conditions = [Prisma.sql`true`];
  if (filter.horseId !== undefined)
    conditions.push(Prisma.sql`a.horse_id = ${filter.horseId}::uuid`);
  if (filter.deviceId !== undefined)
    conditions.push(Prisma.sql`a.device_id = ${filter.deviceId}::uuid`);
  if (filter.after !== null)
    conditions.push(
      Prisma.sql`(a.received_at, a.id) < (${new Date(filter.after[0] ?? 0)}, ${filter.after[1]}::uuid)`,
    );
  const rows = await tx.$queryRaw<ArrivalRow[]>`
    SELECT a.id, json_build_object('id', p.id, 'name', p.name) AS person, a.device_id AS "deviceId", a.device_order AS "deviceOrder", a.idempotency_key AS "idempotencyKey", a.operation,
      a.horse_id AS "horseId", a.record_id AS "recordId", a.happened_at AS "happenedAt", a.device_at AS "deviceAt", a.clock_offset_ms AS "clockOffsetMs", a.received_at AS "receivedAt",
      a.outcome, a.payload, a.reason
    FROM arrivals a JOIN people p ON p.practice_id = a.practice_id AND p.id = a.person_id
    WHERE ${Prisma.join(conditions, " AND ")} ORDER BY a.received_at DESC, a.id DESC LIMIT ${filter.limit}`;
  return rows.map((row) => ({
    ...row,
    happenedAt: row.happenedAt.toISOString(),
    deviceAt: row.deviceAt.toISOString(),
    receivedAt: row.receivedAt.toISOString(),
  }));
};

/** Which of these keys of a person have arrived, and when. */
export const findKeys = (tx: Transaction, personId: string, keys: readonly string[]) =>
  tx.$queryRaw<{ key: string; receivedAt: Date; outcome: "stored" | "put aside" }[]>`
    SELECT idempotency_key AS key, received_at AS "receivedAt", outcome FROM arrivals
    WHERE person_id = ${personId}::uuid AND idempotency_key = ANY (${[...keys]})`;
