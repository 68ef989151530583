import type { readThisDevice, SessionView, YardDevice } from "@heelward/contracts";
import { MS_PER_HOUR } from "@heelward/domain/time";
import type { z } from "zod";
import type { Dependencies } from "../../app.ts";
import { enterPractice, whileSigningIn, type Transaction } from "../../database/client.ts";
import { isoOrNull } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { appendAudit } from "../../records/audit.ts";
import { sha256Hex } from "../../records/canonical.ts";
import { isPassword } from "../session/password.ts";
import { type Origin, viewSession } from "../session/service.ts";
import { newSecret } from "../session/tokens.ts";
import { hashPin } from "./pin.ts";
import * as store from "./store.ts";

/** How long a PIN holds on the device it was typed on. */
const SHIFT_MS = 12 * MS_PER_HOUR;
const TRIES_BEFORE_LOCK = 5;
const LOCK_MS = MS_PER_HOUR / 4;
/** Signing asks for the password whatever a PIN opened: nobody confirmed who they are. */
const NEVER = new Date(0);

type ThisDevice = z.input<typeof readThisDevice.response>;

const viewDevice = (row: store.DeviceRow): YardDevice => ({
  id: row.id,
  name: row.name,
  yard: row.yard,
  trustedAt: row.trustedAt.toISOString(),
  lastUsedAt: row.lastUsedAt.toISOString(),
  version: row.version,
});

export const list = async ({ tx }: Work) => ({
  items: (await store.findDevices(tx)).map(viewDevice),
});

/** Trusts the browser that asks. The secret goes into its cookie; only the hash is kept. */
export const trust = async (
  work: Work,
  input: { readonly yardId: string; readonly name: string },
): Promise<{ readonly view: YardDevice; readonly secret: string }> => {
  const { tx, actor, nowMs } = work;
  if ((await tx.yard.count({ where: { id: input.yardId } })) === 0)
    throw badField("/yardId", "is not a yard you work at");
  const now = new Date(nowMs);
  const id = newId();
  const { secret, hash } = newSecret();
  await tx.yardDevice.create({
    data: {
      practiceId: actor.practiceId,
      id,
      yardId: input.yardId,
      name: input.name,
      tokenHash: hash,
      trustedBy: actor.personId,
      trustedAt: now,
      lastUsedAt: now,
    },
  });
  work.audit({
    event: "yard-device.trusted",
    subjectType: "yard device",
    subjectId: id,
    horseId: null,
    payload: { yardId: input.yardId, name: input.name },
  });
  const row = (await store.findDevices(tx)).find((one) => one.id === id);
  if (row === undefined) throw new Error("the device just written is not there");
  return { view: viewDevice(row), secret };
};

/** Stops sharing a device. Everybody signed in on it by PIN is signed out at once. */
export const revoke = async (work: Work, id: string, seen: number): Promise<null> => {
  const { tx, actor, nowMs } = work;
  const row = (await store.findDevices(tx)).find((one) => one.id === id);
  if (row === undefined) throw notFound("device");
  assertVersion(seen, row.version);
  const now = new Date(nowMs);
  const { count } = await tx.yardDevice.updateMany({
    where: { id, version: seen, revokedAt: null },
    data: { revokedAt: now, revokedBy: actor.personId, version: seen + 1 },
  });
  if (count === 0) throw new Problem("conflict", "Somebody else changed this device just now.");
  await tx.session.updateMany({
    where: { deviceId: id, revokedAt: null },
    data: { revokedAt: now },
  });
  work.audit({
    event: "yard-device.revoked",
    subjectType: "yard device",
    subjectId: id,
    horseId: null,
    payload: null,
  });
  return null;
};

/** Whose device this is and who works with it; null in any other browser. */
export const readThis = async (
  { db }: Dependencies,
  secret: string | undefined,
  nowMs: number,
): Promise<ThisDevice> => {
  if (secret === undefined) return { device: null };
  return whileSigningIn(db, async (tx): Promise<ThisDevice> => {
    const device = await store.findDeviceByToken(tx, sha256Hex(secret));
    if (device === null) return { device: null };
    await enterPractice(tx, { practiceId: device.practiceId, personId: null, roles: ["system"] });
    const yard = await tx.yard.findUniqueOrThrow({
      where: { practiceId_id: { practiceId: device.practiceId, id: device.yardId } },
      select: { id: true, name: true },
    });
    const people = await store.findPeopleOfDevice(tx, device, new Date(nowMs));
    return {
      device: {
        id: device.id,
        name: device.name,
        yard,
        people: people.map((one) => ({
          id: one.id,
          name: one.name,
          role: one.roles.includes("carer") ? "carer" : "farrier",
          hasPin: one.hasPin,
          isHere: one.sessionId !== null,
          lockedUntil:
            one.lockedUntil !== null && one.lockedUntil.getTime() > nowMs
              ? isoOrNull(one.lockedUntil)
              : null,
        })),
      },
    };
  });
};

/** A session handed to the person who took the device, with the refresh token that is shown once. */
export interface HandedOver {
  readonly view: SessionView;
  readonly claims: {
    readonly practiceId: string;
    readonly personId: string;
    readonly sessionId: string;
  };
  readonly refreshToken: string;
  readonly endsAtMs: number;
}

interface Taking {
  readonly personId: string;
  readonly pin: string | undefined;
}

/** Whether the PIN fits. A wrong one is counted, and the fifth locks it on every device. */
const checkPin = async (
  tx: Transaction,
  taking: Taking,
  nowMs: number,
): Promise<"fits" | "wrong" | "now locked"> => {
  const kept = await store.lockPin(tx, taking.personId);
  const isLocked = kept !== null && (kept.lockedUntil?.getTime() ?? 0) > nowMs;
  const usable = kept !== null && !isLocked ? kept.pinHash : null;
  if (await isPassword(usable, taking.pin ?? "")) {
    await tx.yardPin.updateMany({
      where: { personId: taking.personId },
      data: { failedAttempts: 0, lockedUntil: null },
    });
    return "fits";
  }
  if (usable === null || kept === null) return "wrong";
  const failed = kept.failedAttempts + 1;
  const locksNow = failed >= TRIES_BEFORE_LOCK;
  await tx.yardPin.updateMany({
    where: { personId: taking.personId },
    data: {
      failedAttempts: locksNow ? 0 : failed,
      lockedUntil: locksNow ? new Date(nowMs + LOCK_MS) : null,
    },
  });
  return locksNow ? "now locked" : "wrong";
};

/**
 * Hands a shared device to another person of its yard. Within twelve hours of the PIN typed on this
 * device one tap is enough; otherwise the PIN opens a session that ends after those hours. It never
 * signs: that asks for the password.
 *
 * @throws Problem `unauthenticated` when this browser is no shared device, `wrong-credentials` when
 * the PIN does not fit, is missing or locked
 */
export const handOver = async (
  { db }: Dependencies,
  deviceSecret: string | undefined,
  taking: Taking,
  from: Origin,
): Promise<HandedOver> => {
  if (deviceSecret === undefined)
    throw new Problem("unauthenticated", "This device is not shared by a yard.");
  const now = new Date(from.nowMs);
  const taken = await whileSigningIn(db, async (tx): Promise<HandedOver | "no device" | null> => {
    const device = await store.findDeviceByToken(tx, sha256Hex(deviceSecret));
    if (device === null) return "no device";
    const { practiceId } = device;
    await enterPractice(tx, { practiceId, personId: taking.personId, roles: ["system"] });
    const people = await store.findPeopleOfDevice(tx, device, now);
    const person = people.find((one) => one.id === taking.personId);
    const note = (event: string, sessionId: string | null) =>
      appendAudit(
        tx,
        {
          practiceId,
          actorId: person?.id ?? null,
          actorRoles: [],
          requestId: from.requestId,
          clientTime: null,
          atMs: from.nowMs,
        },
        [
          {
            event,
            subjectType: sessionId === null ? "person" : "session",
            subjectId: sessionId ?? taking.personId,
            horseId: null,
            payload: { deviceId: device.id },
          },
        ],
      );
    if (person === undefined) return null;
    const { secret, hash } = newSecret();
    const handed = async (sessionId: string, endsAt: Date): Promise<HandedOver> => {
      await tx.yardDevice.updateMany({ where: { id: device.id }, data: { lastUsedAt: now } });
      return {
        view: await viewSession(tx, practiceId, person.id, NEVER, endsAt),
        claims: { practiceId, personId: person.id, sessionId },
        refreshToken: secret,
        endsAtMs: endsAt.getTime(),
      };
    };
    if (taking.pin === undefined) {
      if (person.sessionId === null || person.sessionEndsAt === null) return null;
      await tx.session.updateMany({
        where: { id: person.sessionId },
        data: { tokenHash: hash, lastUsedAt: now, authenticatedAt: NEVER },
      });
      await note("session.taken-up", person.sessionId);
      return handed(person.sessionId, person.sessionEndsAt);
    }
    const checked = await checkPin(tx, taking, from.nowMs);
    if (checked !== "fits") {
      await note(checked === "now locked" ? "pin.locked" : "pin.failed", null);
      return null;
    }
    const sessionId = newId();
    const endsAt = new Date(from.nowMs + SHIFT_MS);
    await tx.session.updateMany({
      where: { deviceId: device.id, personId: person.id, revokedAt: null },
      data: { revokedAt: now },
    });
    await tx.session.create({
      data: {
        practiceId,
        id: sessionId,
        personId: person.id,
        deviceId: device.id,
        tokenHash: hash,
        expiresAt: endsAt,
        authenticatedAt: NEVER,
        userAgent: from.userAgent,
        lastUsedAt: now,
        createdAt: now,
      },
    });
    await note("session.opened-by-pin", sessionId);
    return handed(sessionId, endsAt);
  });
  if (taken === "no device")
    throw new Problem("unauthenticated", "This device is not shared by a yard any more.");
  if (taken === null)
    throw new Problem(
      "wrong-credentials",
      "The PIN does not fit, is needed again after twelve hours, or is locked for a quarter of an hour.",
    );
  return taken;
};

/** Chooses the own PIN. Only for people who work in the yard and hold no further rights. */
export const setPin = async (work: Work, pin: string): Promise<null> => {
  const { tx, actor, nowMs } = work;
  if (actor.roles.some((role) => role !== "carer" && role !== "farrier"))
    throw new Problem(
      "forbidden",
      "A PIN is for yard carers and farriers; whoever may sign medicines, manage or owns a horse signs in with the password.",
    );
  const pinHash = await hashPin(pin);
  const fresh = { pinHash, failedAttempts: 0, lockedUntil: null, setAt: new Date(nowMs) };
  await tx.yardPin.upsert({
    where: { practiceId_personId: { practiceId: actor.practiceId, personId: actor.personId } },
    create: { practiceId: actor.practiceId, personId: actor.personId, ...fresh },
    update: fresh,
  });
  work.audit({
    event: "pin.set",
    subjectType: "person",
    subjectId: actor.personId,
    horseId: null,
    payload: null,
  });
  return null;
};

/** Forgets the PIN and ends the sessions it opened. */
export const removePin = async (work: Work): Promise<null> => {
  const { tx, actor, nowMs } = work;
  const { count } = await tx.yardPin.deleteMany({ where: { personId: actor.personId } });
  if (count === 0) throw notFound("PIN");
  await tx.session.updateMany({
    where: { personId: actor.personId, deviceId: { not: null }, revokedAt: null },
    data: { revokedAt: new Date(nowMs) },
  });
  work.audit({
    event: "pin.removed",
    subjectType: "person",
    subjectId: actor.personId,
    horseId: null,
    payload: null,
  });
  return null;
};
