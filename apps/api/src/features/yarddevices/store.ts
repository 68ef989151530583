import type { Transaction } from "../../database/client.ts";

interface DeviceOfToken {
  readonly practiceId: string;
  readonly id: string;
  readonly name: string;
  readonly yardId: string;
}

/** The trusted device that holds this cookie. Needs a signing-in transaction. */
export const findDeviceByToken = async (
  tx: Transaction,
  tokenHash: string,
): Promise<DeviceOfToken | null> => {
  const [row] = await tx.$queryRaw<DeviceOfToken[]>`
    SELECT practice_id AS "practiceId", id, name, yard_id AS "yardId" FROM yard_devices
    WHERE token_hash = ${tokenHash} AND revoked_at IS NULL`;
  return row ?? null;
};

export interface PersonOfYard {
  readonly id: string;
  readonly name: string;
  readonly roles: readonly string[];
  readonly hasPin: boolean;
  readonly lockedUntil: Date | null;
  readonly sessionId: string | null;
  readonly sessionEndsAt: Date | null;
}

/**
 * Carers of the yard and farriers of its horses who hold no other role, with the session each still
 * has on the device. A vet's or manager's rights are never opened by a PIN.
 */
export const findPeopleOfDevice = (
  tx: Transaction,
  device: { readonly id: string; readonly yardId: string },
  now: Date,
): Promise<PersonOfYard[]> => tx.$queryRaw<PersonOfYard[]>`
  SELECT p.id, p.name, p.roles, k.person_id IS NOT NULL AS "hasPin", k.locked_until AS "lockedUntil",
    s.id AS "sessionId", s.expires_at AS "sessionEndsAt"
  FROM people p
  LEFT JOIN yard_pins k ON k.practice_id = p.practice_id AND k.person_id = p.id
  LEFT JOIN LATERAL (SELECT o.id, o.expires_at FROM sessions o WHERE o.practice_id = p.practice_id AND o.person_id = p.id
    AND o.device_id = ${device.id}::uuid AND o.revoked_at IS NULL AND o.expires_at > ${now} ORDER BY o.expires_at DESC LIMIT 1) s ON true
  WHERE p.status = 'active' AND p.roles <@ ARRAY['carer', 'farrier'] AND cardinality(p.roles) > 0
    AND (EXISTS (SELECT 1 FROM yard_people y WHERE y.practice_id = p.practice_id AND y.yard_id = ${device.yardId}::uuid AND y.person_id = p.id)
      OR EXISTS (SELECT 1 FROM horses h WHERE h.practice_id = p.practice_id AND h.yard_id = ${device.yardId}::uuid AND h.farrier_id = p.id AND h.status = 'active'))
  ORDER BY p.name, p.id`;

/** A person's PIN, locked for the attempt. */
export const lockPin = async (tx: Transaction, personId: string) => {
  const [row] = await tx.$queryRaw<
    { pinHash: string; failedAttempts: number; lockedUntil: Date | null }[]
  >`
    SELECT pin_hash AS "pinHash", failed_attempts AS "failedAttempts", locked_until AS "lockedUntil"
    FROM yard_pins WHERE person_id = ${personId}::uuid FOR UPDATE`;
  return row ?? null;
};

export interface DeviceRow {
  readonly id: string;
  readonly name: string;
  readonly yard: { readonly id: string; readonly name: string };
  readonly trustedAt: Date;
  readonly lastUsedAt: Date;
  readonly version: number;
}

/** Devices shared now, of the yards the person sees. */
export const findDevices = (tx: Transaction): Promise<DeviceRow[]> => tx.$queryRaw<DeviceRow[]>`
  SELECT d.id, d.name, json_build_object('id', y.id, 'name', y.name) AS yard, d.trusted_at AS "trustedAt", d.last_used_at AS "lastUsedAt", d.version
  FROM yard_devices d JOIN yards y ON y.practice_id = d.practice_id AND y.id = d.yard_id
  WHERE d.revoked_at IS NULL ORDER BY y.name, d.name, d.id`;
