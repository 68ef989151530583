import { z } from "zod";
import { operation } from "./operation.ts";
import { id, instant, line, nothing, version } from "./primitives.ts";
import { person, practiceView } from "./session.ts";

const pin = z.string().regex(/^\d{4,8}$/, "must be 4 to 8 digits");

export const yardDevice = z
  .object({
    id,
    name: z.string(),
    yard: z.object({ id, name: z.string() }),
    trustedAt: instant,
    lastUsedAt: instant,
    version,
  })
  .meta({ id: "YardDevice" });
export type YardDevice = z.infer<typeof yardDevice>;

export const trustDevice = operation({
  id: "trustDevice",
  method: "POST",
  path: "/yard-devices",
  tag: "session",
  access: ["vet", "manager", "carer"],
  status: 201,
  stepUp: true,
  summary: "Let the people of a yard share this device; it is kept in a cookie of this browser",
  body: z.strictObject({ yardId: id, name: line(80) }),
  response: yardDevice,
});
export const listYardDevices = operation({
  id: "listYardDevices",
  method: "GET",
  path: "/yard-devices",
  tag: "session",
  access: ["vet", "manager", "carer"],
  status: 200,
  summary: "Shared devices of the yards one sees",
  response: z.object({ items: z.array(yardDevice) }),
});
export const revokeYardDevice = operation({
  id: "revokeYardDevice",
  method: "DELETE",
  path: "/yard-devices/:deviceId",
  tag: "session",
  access: ["vet", "manager", "carer"],
  status: 204,
  ifMatch: true,
  summary: "Stop sharing a device; everybody signed in on it by PIN is signed out",
  params: z.strictObject({ deviceId: id }),
  response: nothing,
});

export const personOnDevice = z
  .object({
    id,
    name: z.string(),
    role: z.enum(["carer", "farrier"]),
    hasPin: z.boolean(),
    /** Signed in on this device within the last twelve hours: one tap is enough. */
    isHere: z.boolean(),
    lockedUntil: instant.nullable(),
  })
  .meta({ id: "PersonOnDevice" });
export type PersonOnDevice = z.infer<typeof personOnDevice>;
export const readThisDevice = operation({
  id: "readThisDevice",
  method: "GET",
  path: "/yard-device",
  tag: "session",
  access: "public",
  status: 200,
  summary: "Whether this browser is a yard's shared device, and who works with it",
  response: z.object({
    device: z
      .object({
        id,
        name: z.string(),
        yard: z.object({ id, name: z.string() }),
        people: z.array(personOnDevice),
      })
      .nullable(),
  }),
});
export const switchPerson = operation({
  id: "switchPerson",
  method: "POST",
  path: "/yard-device/session",
  tag: "session",
  access: "public",
  status: 200,
  computes: true,
  summary:
    "Hand this shared device to another person of the yard: by PIN, or with one tap within twelve hours of it",
  body: z.strictObject({ personId: id, pin: pin.optional() }),
  response: z.object({ person, practice: practiceView, expiresAt: instant }),
});

export const setPin = operation({
  id: "setPin",
  method: "PUT",
  path: "/session/pin",
  tag: "session",
  access: ["carer", "farrier"],
  status: 204,
  stepUp: true,
  summary: "Choose the PIN for shared devices of the yard",
  body: z.strictObject({ pin }),
  response: nothing,
});
export const removePin = operation({
  id: "removePin",
  method: "DELETE",
  path: "/session/pin",
  tag: "session",
  access: ["carer", "farrier"],
  status: 204,
  summary: "Forget the PIN; sessions opened with it end",
  response: nothing,
});
