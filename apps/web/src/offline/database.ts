import { type DBSchema, type IDBPDatabase, openDB } from "idb";

/** Bytes under AES-GCM, with what is needed to open them. */
export interface Sealed {
  readonly iv: Uint8Array<ArrayBuffer>;
  readonly data: ArrayBuffer;
}

/** A key that lies here and can be used by this site's scripts, but not read out by them. */
export interface KeptKey {
  readonly key: CryptoKey;
  readonly personId: string;
  /** Epoch ms by the device's clock; null lasts until it is wiped. */
  readonly expiresAtMs: number | null;
}

/** One answer of the service as it was when the day was taken along. */
export interface KeptAnswer extends Sealed {
  readonly mediaType: string;
  readonly storedAtMs: number;
  readonly sizeBytes: number;
}

interface Schema extends DBSchema {
  keys: { key: "day" | "outbox"; value: KeptKey };
  /** By address, such as `/api/v1/horses/…`. */
  answers: { key: string; value: KeptAnswer };
  /** Photos and voice notes that wait to be sent, by id. */
  files: { key: string; value: Sealed & { readonly mediaType: string } };
  /** Entries of the outbox, by their order. */
  outbox: { key: number; value: Sealed };
  meta: { key: string; value: unknown };
}

export type OfflineDatabase = IDBPDatabase<Schema>;

let opened: Promise<OfflineDatabase> | undefined;

/** The device's own database; page and service worker share it. */
export const openDatabase = (): Promise<OfflineDatabase> => {
  opened ??= openDB<Schema>("heelward", 1, {
    upgrade: (database) => {
      database.createObjectStore("keys");
      database.createObjectStore("answers");
      database.createObjectStore("files");
      database.createObjectStore("outbox");
      database.createObjectStore("meta");
    },
    terminated: () => {
      opened = undefined;
    },
  }).catch((error: unknown) => {
    opened = undefined;
    throw error;
  });
  return opened;
};

/** Reads one thing that is kept beside the day, such as the device's id. */
export const readMeta = async <T>(name: string): Promise<T | undefined> =>
  (await (await openDatabase()).get("meta", name)) as T | undefined;

export const writeMeta = async (name: string, value: unknown): Promise<void> =>
  void (await (await openDatabase()).put("meta", value, name));
