import { ARRIVAL_HEADERS } from "@heelward/contracts";
import type { FastifyRequest } from "fastify";
import { newId } from "./new-id.ts";
import { Problem } from "./problem.ts";
import type { Work } from "./work.ts";

/** What a device says of a write it had to keep for want of signal. */
export interface Arrival {
  readonly deviceId: string;
  /** The key of the write, by which the device asks later whether it has arrived. */
  readonly key: string;
  /** 1, 2, 3 … in the order the device kept its writes. */
  readonly deviceOrder: number;
  /** Corrected by what the device knew of its clock; never later than it arrived. Epoch ms. */
  readonly happenedAtMs: number;
  /** By the device's own clock, epoch ms. */
  readonly deviceAtMs: number;
  /** Service time minus device time, ms. */
  readonly clockOffsetMs: number;
}

const UUID = /^[\da-f]{8}(-[\da-f]{4}){3}-[\da-f]{12}$/i;
/** The largest clock offset that fits its column; a device further out is a device without a clock. */
const MOST_OFFSET_MS = 2_000_000_000;

const unreadable = (header: string, detail: string): Problem =>
  new Problem("malformed-request", `${header} ${detail}.`, {
    errors: [{ pointer: `#${header}`, detail }],
  });

const instantOf = (request: FastifyRequest, header: string): number => {
  const atMs = Date.parse(String(request.headers[header]));
  if (!Number.isFinite(atMs)) throw unreadable(header, "must be an instant with offset");
  return atMs;
};

const wholeNumber = (request: FastifyRequest, header: string): number => {
  const value = Number(request.headers[header]);
  if (!Number.isSafeInteger(value)) throw unreadable(header, "must be a whole number");
  return value;
};

/**
 * Reads the headers of a write that was kept on a device; null when it came at once. What is said to
 * have happened after it arrived is taken to have happened when it arrived: the clock was wrong.
 *
 * @throws Problem naming the header at fault
 */
export const readArrival = (request: FastifyRequest, nowMs: number): Arrival | null => {
  const deviceId = request.headers[ARRIVAL_HEADERS.deviceId];
  if (deviceId === undefined) return null;
  if (typeof deviceId !== "string" || !UUID.test(deviceId))
    throw unreadable(ARRIVAL_HEADERS.deviceId, "must be a UUID");
  const deviceOrder = wholeNumber(request, ARRIVAL_HEADERS.deviceOrder);
  if (deviceOrder < 1 || deviceOrder > 2_147_483_647)
    throw unreadable(ARRIVAL_HEADERS.deviceOrder, "must count from 1");
  const clockOffsetMs = wholeNumber(request, ARRIVAL_HEADERS.clockOffset);
  return {
    deviceId,
    key: String(request.headers["idempotency-key"]),
    deviceOrder,
    happenedAtMs: Math.min(nowMs, instantOf(request, ARRIVAL_HEADERS.happenedAt)),
    deviceAtMs: instantOf(request, ARRIVAL_HEADERS.deviceTime),
    clockOffsetMs: Math.max(-MOST_OFFSET_MS, Math.min(MOST_OFFSET_MS, clockOffsetMs)),
  };
};

/** When it was said, for a column beside the time it arrived; null where it came at once. */
export const happenedAt = ({ arrival }: Pick<Work, "arrival">): Date | null =>
  arrival === null ? null : new Date(arrival.happenedAtMs);

/** What a person decided not to record after a conflict. */
export interface PutAside {
  readonly payload: unknown;
  readonly reason: string;
}

/**
 * Keeps beside a record when it happened, when it came and from which device, in the same
 * transaction. A number of a device arrives once, even when the stored answer of its key is gone.
 *
 * @throws Problem `conflict` when this number of the device has arrived with other contents
 */
export const keepArrival = async (
  { tx, actor, arrival, nowMs }: Pick<Work, "tx" | "actor" | "arrival" | "nowMs">,
  operation: string,
  about: { readonly horseId: string | null; readonly recordId: string | null },
  aside: PutAside | null = null,
): Promise<string> => {
  if (arrival === null) throw new Error("nothing says that this came late");
  const id = newId();
  const kept = await tx.$executeRaw`
    INSERT INTO arrivals (practice_id, id, person_id, device_id, device_order, idempotency_key, operation, horse_id, record_id, happened_at, device_at, clock_offset_ms, received_at, outcome, payload, reason)
    VALUES (${actor.practiceId}::uuid, ${id}::uuid, ${actor.personId}::uuid, ${arrival.deviceId}::uuid, ${arrival.deviceOrder}, ${arrival.key}, ${operation}, ${about.horseId}::uuid, ${about.recordId}::uuid,
      ${new Date(arrival.happenedAtMs)}, ${new Date(arrival.deviceAtMs)}, ${arrival.clockOffsetMs}, ${new Date(nowMs)}, ${aside === null ? "stored" : "put aside"},
      ${aside === null ? null : JSON.stringify(aside.payload)}::jsonb, ${aside?.reason ?? null})
    ON CONFLICT DO NOTHING`;
  if (kept !== 1)
    throw new Problem(
      "conflict",
      `Number ${arrival.deviceOrder} of this device has arrived already.`,
    );
  return id;
};

const textAt = (value: unknown, name: string): string | null => {
  if (typeof value !== "object" || value === null || !(name in value)) return null;
  const found: unknown = (value as Readonly<Record<string, unknown>>)[name];
  return typeof found === "string" && UUID.test(found) ? found : null;
};

/** The horse and the record a write was about, as far as its address, body and answer say. */
export const subjectOf = (
  input: { readonly params: unknown; readonly body: unknown },
  answer: unknown,
): { readonly horseId: string | null; readonly recordId: string | null } => ({
  horseId:
    textAt(input.params, "horseId") ?? textAt(input.body, "horseId") ?? textAt(answer, "horseId"),
  recordId: textAt(answer, "id"),
});
