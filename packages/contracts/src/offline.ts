import { z } from "zod";
import { operation } from "./operation.ts";
import { id, instant, json, line, page, pageOf, personRef, phone, prose } from "./primitives.ts";

const staff = ["vet", "farrier", "manager", "carer"] as const;

/** Headers a device adds to a write it had to keep: see {@link arrival}. */
export const ARRIVAL_HEADERS = {
  /** Random id of the device, made once. */
  deviceId: "device-id",
  /** 1, 2, 3 … in the order the device kept its writes. */
  deviceOrder: "device-order",
  /** When it happened, corrected by what the device knows of its clock. */
  happenedAt: "happened-at",
  /** When it happened by the device's own clock. */
  deviceTime: "client-time",
  /** Service time minus device time, in ms, as measured when it was sent. */
  clockOffset: "clock-offset-ms",
} as const;

/** What came from a device that kept it while there was no signal. */
export const arrival = z
  .object({
    id,
    person: personRef,
    deviceId: id,
    deviceOrder: z.int(),
    idempotencyKey: z.string(),
    operation: z.string(),
    horseId: id.nullable(),
    recordId: id.nullable(),
    happenedAt: instant.describe("corrected by what was known of the device's clock"),
    deviceAt: instant.describe("what the device's own clock said"),
    clockOffsetMs: z.int(),
    receivedAt: instant,
    outcome: z.enum(["stored", "put aside"]),
    payload: json.nullable().describe("what was put aside"),
    reason: z.string().nullable(),
  })
  .meta({ id: "Arrival" });
export type ArrivalView = z.infer<typeof arrival>;

export const compareWithService = operation({
  id: "compareWithService",
  method: "POST",
  path: "/arrivals/comparison",
  tag: "offline",
  access: staff,
  status: 200,
  computes: true,
  summary: "The service's clock, and which of these writes have arrived already",
  body: z.strictObject({ deviceId: id, keys: z.array(line(100)).max(500) }),
  response: z.object({
    at: instant,
    arrived: z.array(
      z.object({ key: z.string(), receivedAt: instant, outcome: z.enum(["stored", "put aside"]) }),
    ),
  }),
});
export const listArrivals = operation({
  id: "listArrivals",
  method: "GET",
  path: "/arrivals",
  tag: "offline",
  access: staff,
  status: 200,
  summary: "What came from devices without signal, latest first: when it happened and when it came",
  query: page.extend({ horseId: id.optional(), deviceId: id.optional() }),
  response: pageOf(arrival),
});
export const putAside = operation({
  id: "putAside",
  method: "POST",
  path: "/arrivals/put-aside",
  keepsArrival: true,
  tag: "offline",
  access: staff,
  status: 201,
  summary:
    "Keep, with a reason, what a person decided not to record after a conflict; nothing is dropped",
  body: z.strictObject({
    operation: line(80),
    horseId: id.optional(),
    payload: z.record(line(40), json).describe("the whole request that was not taken"),
    reason: prose(500),
  }),
  response: z.object({ id, receivedAt: instant }),
});

export const redFlagCall = z
  .object({
    id,
    person: personRef,
    horseId: id.nullable(),
    numberDialled: z.string(),
    pressedAt: instant,
    receivedAt: instant,
  })
  .meta({ id: "RedFlagCall" });
export const logRedFlagCall = operation({
  id: "logRedFlagCall",
  method: "POST",
  path: "/red-flag-calls",
  tag: "offline",
  access: staff,
  status: 201,
  summary:
    "The red-flag button was pressed and rang the number on call; with a horse, the vet is told",
  body: z.strictObject({
    id: id.optional(),
    horseId: id.optional(),
    numberDialled: phone,
    pressedAt: instant,
  }),
  response: redFlagCall,
});
export const listRedFlagCalls = operation({
  id: "listRedFlagCalls",
  method: "GET",
  path: "/red-flag-calls",
  tag: "offline",
  access: staff,
  status: 200,
  summary: "Presses of the red-flag button, latest first",
  query: page,
  response: pageOf(redFlagCall),
});
