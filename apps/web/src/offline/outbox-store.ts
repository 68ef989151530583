import { openDatabase, readMeta, type Sealed, writeMeta } from "./database.ts";
import { EMPTY_OUTBOX, type Entry, type Outbox } from "./outbox.ts";
import { ensureKey, findKey, seal, sealJson, unseal, unsealJson, wipe } from "./vault.ts";

const LOCK = "heelward.outbox";
const NEXT = "outbox.next";
const CHANNEL = "heelward.outbox";
const aboutEntry = (order: number): string => `outbox ${String(order)}`;

/** This device's own id, made once. */
export const deviceId = async (): Promise<string> => {
  const known = await readMeta<string>("device");
  if (known !== undefined) return known;
  const made = crypto.randomUUID();
  await writeMeta("device", made);
  return made;
};

const ownerKey = () => findKey("outbox");

/** Whose unsent records are on this device; undefined when there are none. */
export const outboxOwner = async (): Promise<string | undefined> => (await ownerKey())?.personId;

/** What is kept, in order. Empty where nothing was ever written. */
export const loadOutbox = async (): Promise<Outbox> => {
  const kept = await ownerKey();
  const database = await openDatabase();
  const nextOrder = (await readMeta<number>(NEXT)) ?? EMPTY_OUTBOX.nextOrder;
  if (kept === undefined) return { nextOrder, entries: [] };
  const tx = database.transaction("outbox");
  const [orders, sealed] = await Promise.all([tx.store.getAllKeys(), tx.store.getAll(), tx.done]);
  const entries = await Promise.all(
    sealed.map((one, index) => {
      const order = orders[index] ?? 0;
      return unsealJson<Entry>(kept.key, one, aboutEntry(order));
    }),
  );
  return { nextOrder, entries };
};

/** Does all steps of a transaction and waits until they are durable; on any fault none of them is. */
const allOrNothing = async (
  tx: { readonly done: Promise<void>; readonly abort: () => void },
  steps: readonly (() => Promise<unknown>)[],
): Promise<void> => {
  // Heard of through the first of them that fails; the others must not go unheard.
  tx.done.catch(() => undefined);
  const running: Promise<unknown>[] = [];
  try {
    for (const step of steps) {
      const one = step();
      one.catch(() => undefined);
      running.push(one);
    }
    await Promise.all([...running, tx.done]);
  } catch (error) {
    try {
      tx.abort();
    } catch {
      // It is over already: the browser has undone it.
    }
    throw error;
  }
};

/** A file that goes with an entry. */
export interface NewFile {
  readonly id: string;
  readonly file: Blob;
}

/**
 * Changes the outbox, one change at a time over all windows. Entries and their files are sealed first
 * and then written in one strict transaction: a device that dies in the middle has all of it or none.
 *
 * @throws QuotaExceededError when the device is full; nothing is written then
 */
export const changeOutbox = (
  personId: string,
  change: (outbox: Outbox) => Outbox,
  files: readonly NewFile[] = [],
): Promise<Outbox> =>
  navigator.locks.request(LOCK, async () => {
    const before = await loadOutbox();
    const after = change(before);
    if (after === before) return after;
    const { key } = await ensureKey("outbox", personId);
    const known = new Map(before.entries.map((entry) => [entry.order, entry]));
    const changed = await Promise.all(
      after.entries
        .filter((entry) => known.get(entry.order) !== entry)
        .map(async (entry) => ({
          order: entry.order,
          sealed: await sealJson(key, entry, aboutEntry(entry.order)),
        })),
    );
    const sealedFiles = await Promise.all(
      files.map(async ({ id, file }) => ({
        id,
        value: {
          ...(await seal(key, await file.arrayBuffer(), id)),
          mediaType: file.type,
        } satisfies Sealed & { readonly mediaType: string },
      })),
    );
    const kept = new Set(after.entries.map((entry) => entry.order));
    const stillNeeded = new Set(after.entries.flatMap(({ request }) => request.fileId ?? []));
    const gone = before.entries.filter((entry) => !kept.has(entry.order));
    const database = await openDatabase();
    const tx = database.transaction(["outbox", "files", "meta"], "readwrite", {
      durability: "strict",
    });
    const steps: readonly (() => Promise<unknown>)[] = [
      () => tx.objectStore("meta").put(after.nextOrder, NEXT),
      ...changed.map(
        ({ order, sealed }) =>
          () =>
            tx.objectStore("outbox").put(sealed, order),
      ),
      ...sealedFiles.map(
        ({ id, value }) =>
          () =>
            tx.objectStore("files").put(value, id),
      ),
      ...gone.map(
        ({ order }) =>
          () =>
            tx.objectStore("outbox").delete(order),
      ),
      ...gone.flatMap(({ request: { fileId } }) =>
        fileId === undefined || stillNeeded.has(fileId)
          ? []
          : [() => tx.objectStore("files").delete(fileId)],
      ),
    ];
    await allOrNothing(tx, steps);
    tellOutboxChanged();
    return after;
  });

/** A file that waits to be sent. */
export const loadFile = async (id: string): Promise<Blob | undefined> => {
  const kept = await ownerKey();
  const sealed = await (await openDatabase()).get("files", id);
  if (kept === undefined || sealed === undefined) return undefined;
  return new Blob([await unseal(kept.key, sealed, id)], { type: sealed.mediaType });
};

/** Throws away what was not sent; only when the person said so, or when nothing is left. */
export const wipeOutbox = async (): Promise<void> => {
  await wipe("outbox");
  tellOutboxChanged();
};

const listeners = new Set<() => void>();
const channel = typeof BroadcastChannel === "undefined" ? undefined : new BroadcastChannel(CHANNEL);
channel?.addEventListener("message", () => {
  for (const tell of listeners) tell();
});

const tellOutboxChanged = (): void => {
  for (const tell of listeners) tell();
  channel?.postMessage("changed");
};

/** Calls back after every change, in this window or another; gives how to stop. */
export const onOutboxChange = (tell: () => void): (() => void) => {
  listeners.add(tell);
  return () => void listeners.delete(tell);
};
