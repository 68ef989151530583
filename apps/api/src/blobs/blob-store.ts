import { randomBytes } from "node:crypto";
import {
  link,
  mkdir,
  open,
  readdir,
  readFile,
  rename,
  rm,
  stat,
  writeFile,
} from "node:fs/promises";
import { dirname, join } from "node:path";
import { sha256Hex } from "../records/canonical.ts";

/** Keeps the bytes of films, photos and papers. A key, once written, never changes. */
export interface BlobStore {
  /** Writes durably before it returns; the same bytes give the same key. */
  readonly put: (
    practiceId: string,
    bytes: Uint8Array,
  ) => Promise<{ readonly key: string; readonly sha256: string }>;
  readonly get: (key: string) => Promise<Uint8Array>;
}

/** Something that lies in the store, with when it was last written (epoch ms). */
export interface StoredBlob {
  readonly key: string;
  readonly writtenAtMs: number;
}

/** A store that can also be tidied, and that keeps notes beside the blobs. */
export interface BlobKeeper extends BlobStore {
  /** Everything of a practice, drafts of writes that were cut off among it. */
  readonly list: (practiceId: string) => AsyncIterable<StoredBlob>;
  /** Removes what was last written before an instant; says whether it did. Written anew meanwhile, it stays. */
  readonly removeOlder: (key: string, beforeMs: number) => Promise<boolean>;
  /** Keeps a note under a name of its own unless there is one; says whether it did. */
  readonly noteOnce: (name: string, text: string) => Promise<boolean>;
  /** The notes of a practice, by day. */
  readonly notes: (
    practiceId: string,
  ) => Promise<readonly { readonly name: string; readonly text: string }[]>;
}

const KEY = /^[0-9a-f-]{36}\/[0-9a-f]{2}\/[0-9a-f]{64}$/;

/** The key of some bytes: `<practice>/<first two digits>/<sha-256>`. Never made from what a user typed. */
export const blobKeyOf = (
  practiceId: string,
  bytes: Uint8Array,
): { readonly key: string; readonly sha256: string } => {
  const sha256 = sha256Hex(bytes);
  return { key: `${practiceId}/${sha256.slice(0, 2)}/${sha256}`, sha256 };
};

export const isBlobKey = (key: string): boolean => KEY.test(key);

const STORED = new RegExp(`${KEY.source.slice(0, -1)}(\\.[0-9a-f]{12})?$`);
/** A key, or a draft of one that a killed process left behind. */
export const isStoredKey = (key: string): boolean => STORED.test(key);

const NOTE = /^[0-9a-f-]{36}\/\d{4}-\d{2}-\d{2}\.json$/;
/** Name of a note: `<practice>/<day>.json`. */
export const isNoteName = (name: string): boolean => NOTE.test(name);

const isMissing = (error: unknown): boolean =>
  error instanceof Error && "code" in error && error.code === "ENOENT";
const namesIn = (folder: string): Promise<readonly string[]> =>
  readdir(folder).catch((error: unknown) => {
    if (isMissing(error)) return [];
    throw error;
  });

/** A new name is on the disk only once its folder is. */
const syncFolder = async (folder: string): Promise<void> => {
  const handle = await open(folder);
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
};

/** Keeps blobs as files below a folder, each written whole or not at all. */
export const folderBlobStore = (folder: string): BlobKeeper => ({
  put: async (practiceId, bytes) => {
    const { key, sha256 } = blobKeyOf(practiceId, bytes);
    const path = join(folder, key);
    await mkdir(dirname(path), { recursive: true });
    const draft = `${path}.${randomBytes(6).toString("hex")}`;
    try {
      const file = await open(draft, "wx", 0o600);
      try {
        await file.writeFile(bytes);
        await file.sync();
      } finally {
        await file.close();
      }
      await rename(draft, path);
      await syncFolder(dirname(path));
    } finally {
      await rm(draft, { force: true });
    }
    return { key, sha256 };
  },
  get: async (key) => {
    if (!isBlobKey(key)) throw new Error(`not a blob key: ${key}`);
    return readFile(join(folder, key));
  },
  list: async function* list(practiceId) {
    for (const first of await namesIn(join(folder, practiceId)))
      // A folder at a time: a practice may have very many films.
      // oxlint-disable no-await-in-loop
      for (const name of await namesIn(join(folder, practiceId, first))) {
        const key = `${practiceId}/${first}/${name}`;
        const found = isStoredKey(key)
          ? await stat(join(folder, key)).catch(() => undefined)
          : undefined;
        if (found !== undefined) yield { key, writtenAtMs: found.mtimeMs };
      }
    // oxlint-enable no-await-in-loop
  },
  removeOlder: async (key, beforeMs) => {
    if (!isStoredKey(key)) throw new Error(`not a blob key: ${key}`);
    const path = join(folder, key);
    if ((await stat(path)).mtimeMs >= beforeMs) return false;
    if (!isBlobKey(key)) {
      await rm(path);
      return true;
    }
    // Taken aside first: what somebody wrote a moment ago is then seen and goes back.
    const aside = `${path}.${randomBytes(6).toString("hex")}`;
    await rename(path, aside);
    const isOld = (await stat(aside)).mtimeMs < beforeMs;
    if (!isOld)
      await link(aside, path).catch((error: unknown) => {
        // Written once more already: the same bytes.
        if (!(error instanceof Error && "code" in error && error.code === "EEXIST")) throw error;
      });
    await rm(aside);
    return isOld;
  },
  noteOnce: async (name, text) => {
    if (!isNoteName(name)) throw new Error(`not the name of a note: ${name}`);
    const path = join(folder, "notes", name);
    await mkdir(dirname(path), { recursive: true });
    const draft = `${path}.${randomBytes(6).toString("hex")}`;
    try {
      await writeFile(draft, text, { mode: 0o600, flush: true });
      await link(draft, path);
      await syncFolder(dirname(path));
      return true;
    } catch (error) {
      if (error instanceof Error && "code" in error && error.code === "EEXIST") return false;
      throw error;
    } finally {
      await rm(draft, { force: true });
    }
  },
  notes: async (practiceId) => {
    const names = (await namesIn(join(folder, "notes", practiceId)))
      .map((name) => `${practiceId}/${name}`)
      .filter(isNoteName)
      .toSorted();
    return Promise.all(
      names.map(async (name) => ({
        name,
        text: await readFile(join(folder, "notes", name), "utf8"),
      })),
    );
  },
});
