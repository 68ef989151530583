import { randomBytes } from "node:crypto";
import { mkdir, open, readFile, rename, rm } from "node:fs/promises";
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

/** Keeps blobs as files below a folder, each written whole or not at all. */
export const folderBlobStore = (folder: string): BlobStore => ({
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
    } finally {
      await rm(draft, { force: true });
    }
    return { key, sha256 };
  },
  get: async (key) => {
    if (!isBlobKey(key)) throw new Error(`not a blob key: ${key}`);
    return readFile(join(folder, key));
  },
});
