import type { OwnDevice } from "@heelward/contracts";
import { Prisma, type Transaction } from "../../database/client.ts";

export interface OwnDeviceRow extends Omit<OwnDevice, "addedAt" | "retiredAt"> {
  readonly addedAt: Date;
  readonly retiredAt: Date | null;
}

/** The practice's own entries, those in use first, each by its name. */
export const findOwnDevices = (
  tx: Transaction,
  filter: { readonly id?: string } = {},
): Promise<OwnDeviceRow[]> => tx.$queryRaw<OwnDeviceRow[]>`
  SELECT d.id, d.entry, d.source, json_build_object('id', a.id, 'name', a.name) AS "addedBy", d.added_at AS "addedAt",
    CASE WHEN r.id IS NULL THEN NULL ELSE json_build_object('id', r.id, 'name', r.name) END AS "retiredBy", d.retired_at AS "retiredAt", d.version
  FROM own_devices d JOIN people a ON a.practice_id = d.practice_id AND a.id = d.added_by
  LEFT JOIN people r ON r.practice_id = d.practice_id AND r.id = d.retired_by
  WHERE ${filter.id === undefined ? Prisma.sql`true` : Prisma.sql`d.id = ${filter.id}::uuid`}
  ORDER BY d.retired_at IS NOT NULL, d.part DESC, lower(d.name), d.id LIMIT 500`;

/** Locks an entry for a change and gives its version. */
export const lockOwnDevice = async (tx: Transaction, id: string): Promise<number | null> => {
  const [row] = await tx.$queryRaw<
    { version: number }[]
  >`SELECT version FROM own_devices WHERE id = ${id}::uuid FOR UPDATE`;
  return row?.version ?? null;
};

/** True when an entry of that name is in use among the same part. */
export const isNameInUse = async (
  tx: Transaction,
  part: string,
  name: string,
): Promise<boolean> => {
  const rows = await tx.$queryRaw<
    { id: string }[]
  >`SELECT id FROM own_devices WHERE part = ${part} AND lower(name) = lower(${name}) AND retired_at IS NULL LIMIT 1`;
  return rows.length > 0;
};
