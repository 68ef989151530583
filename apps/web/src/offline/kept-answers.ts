import { openDatabase } from "./database.ts";
import { findKey, seal, unseal } from "./vault.ts";

/** Says when an answer from the device was stored, epoch ms. */
export const STORED_AT = "x-stored-at";

/** Marks requests that must be answered by the service itself, because what they get is stored. */
export const TAKE_ALONG = "x-take-along";

/** Keeps one answer under its address. @throws QuotaExceededError when the device is full */
export const keepAnswer = async (
  address: string,
  bytes: ArrayBuffer,
  mediaType: string,
): Promise<number> => {
  const kept = await findKey("day");
  if (kept === undefined) return 0;
  const sealed = await seal(kept.key, bytes, address);
  const database = await openDatabase();
  await database.put(
    "answers",
    { ...sealed, mediaType, storedAtMs: Date.now(), sizeBytes: bytes.byteLength },
    address,
  );
  return bytes.byteLength;
};

/** The stored answer of an address as the service gave it; undefined when the day does not hold it. */
export const keptResponse = async (address: string): Promise<Response | undefined> => {
  const kept = await findKey("day");
  if (kept === undefined) return undefined;
  const answer = await (await openDatabase()).get("answers", address);
  if (answer === undefined) return undefined;
  const bytes = await unseal(kept.key, answer, address);
  return new Response(bytes, {
    status: 200,
    headers: {
      "content-type": answer.mediaType,
      "cache-control": "no-store",
      [STORED_AT]: String(answer.storedAtMs),
    },
  });
};

/** True when the day holds this address. */
export const isKept = async (address: string): Promise<boolean> =>
  (await (await openDatabase()).getKey("answers", address)) !== undefined;

/** Changes a stored answer in place, so that a page shows what was just written on the device. */
export const changeKept = async <T>(address: string, change: (answer: T) => T): Promise<void> => {
  const found = await keptResponse(address);
  if (found === undefined) return;
  const changed = change((await found.json()) as T);
  const bytes = new TextEncoder().encode(JSON.stringify(changed));
  await keepAnswer(address, bytes.buffer, "application/json");
};

/** Drops what the newest taking of the day did not bring, so that yesterday's plan cannot be opened as today's. */
export const dropOlder = async (thanMs: number): Promise<void> => {
  const tx = (await openDatabase()).transaction("answers", "readwrite");
  for (let cursor = await tx.store.openCursor(); cursor !== null; cursor = await cursor.continue())
    if (cursor.value.storedAtMs < thanMs)
      // Inside one transaction; a cursor is walked step by step.
      // oxlint-disable-next-line no-await-in-loop
      await cursor.delete();
  await tx.done;
};
