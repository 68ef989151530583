import { type KeptKey, openDatabase, type Sealed } from "./database.ts";

/**
 * The day and the outbox lie on the device under AES-GCM (NIST SP 800-38D, 256-bit key, a fresh random
 * 96-bit iv each time). The keys are made here and marked as not extractable: no script, not even our
 * own, can read them out. The limit: the browser keeps them in its own storage, so whoever can unlock
 * this device and open this browser can open the day, as its owner can. The device's own lock is what
 * keeps others out; wiping the key makes what is left unreadable.
 */
type KeyName = "day" | "outbox";

/** How long a day taken along can be opened, from when it was last refreshed. House rule: one long working day. */
export const DAY_LASTS_MS = 18 * 3_600_000;

/** False on plain http from another machine: browsers give such pages neither keys nor a service worker. */
export const canKeep = (): boolean =>
  globalThis.isSecureContext && typeof indexedDB !== "undefined" && "subtle" in crypto;

const isOver = (kept: KeptKey, nowMs: number): boolean =>
  kept.expiresAtMs !== null && kept.expiresAtMs <= nowMs;

/** The key of one person, if it is there and not over; what is over is wiped on the spot. */
export const findKey = async (name: KeyName, nowMs = Date.now()): Promise<KeptKey | undefined> => {
  const kept = await (await openDatabase()).get("keys", name);
  if (kept === undefined) return undefined;
  if (!isOver(kept, nowMs)) return kept;
  await wipe(name);
  return undefined;
};

/** The person's key, made when there is none; the day of somebody else is wiped first. */
export const ensureKey = async (
  name: KeyName,
  personId: string,
  nowMs = Date.now(),
): Promise<KeptKey> => {
  const found = await findKey(name, nowMs);
  if (found?.personId === personId) return found;
  if (found !== undefined && name === "outbox")
    throw new Error("somebody else's unsent records are on this device");
  if (found !== undefined) await wipe(name);
  const made: KeptKey = {
    key: await crypto.subtle.generateKey({ name: "AES-GCM", length: 256 }, false, [
      "encrypt",
      "decrypt",
    ]),
    personId,
    expiresAtMs: name === "day" ? nowMs + DAY_LASTS_MS : null,
  };
  await (await openDatabase()).put("keys", made, name);
  return made;
};

/** Lets the day be opened for as long again. */
export const renewKey = async (nowMs = Date.now()): Promise<void> => {
  const found = await findKey("day", nowMs);
  if (found !== undefined)
    await (
      await openDatabase()
    ).put("keys", { ...found, expiresAtMs: nowMs + DAY_LASTS_MS }, "day");
};

/** Throws the key away and then what it sealed; in this order, so that a cut-off leaves nothing readable. */
export const wipe = async (name: KeyName): Promise<void> => {
  const database = await openDatabase();
  await database.delete("keys", name);
  const tx = database.transaction(["answers", "outbox", "files", "meta"], "readwrite");
  await Promise.all([
    ...(name === "day"
      ? [tx.objectStore("answers").clear(), tx.objectStore("meta").delete("day")]
      : [tx.objectStore("outbox").clear(), tx.objectStore("files").clear()]),
    tx.done,
  ]);
};

/** Seals bytes; `about` is bound to them, so that one cannot be put in the place of another. */
export const seal = async (
  key: CryptoKey,
  bytes: Uint8Array<ArrayBuffer> | ArrayBuffer,
  about: string,
): Promise<Sealed> => {
  const iv = crypto.getRandomValues(new Uint8Array(12));
  const additionalData = new TextEncoder().encode(about);
  return {
    iv,
    data: await crypto.subtle.encrypt({ name: "AES-GCM", iv, additionalData }, key, bytes),
  };
};

/** @throws OperationError when the key, the bytes or what they are about do not fit */
export const unseal = (key: CryptoKey, sealed: Sealed, about: string): Promise<ArrayBuffer> =>
  crypto.subtle.decrypt(
    { name: "AES-GCM", iv: sealed.iv, additionalData: new TextEncoder().encode(about) },
    key,
    sealed.data,
  );

export const sealJson = (key: CryptoKey, value: unknown, about: string): Promise<Sealed> =>
  seal(key, new TextEncoder().encode(JSON.stringify(value)), about);

export const unsealJson = async <T>(key: CryptoKey, sealed: Sealed, about: string): Promise<T> =>
  JSON.parse(new TextDecoder().decode(await unseal(key, sealed, about))) as T;
