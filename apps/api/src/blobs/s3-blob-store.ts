import {
  DeleteObjectCommand,
  GetObjectCommand,
  HeadObjectCommand,
  paginateListObjectsV2,
  PutObjectCommand,
  S3Client,
} from "@aws-sdk/client-s3";
import {
  blobKeyOf,
  isBlobKey,
  isNoteName,
  isStoredKey,
  type BlobKeeper,
  type StoredBlob,
} from "./blob-store.ts";

/** Where an S3-compatible store is and how to sign in there. */
export interface S3Options {
  readonly endpoint: string;
  readonly bucket: string;
  readonly region: string;
  readonly accessKeyId: string;
  readonly secretAccessKey: string;
}

/** Keeps blobs in a bucket under the same keys as the folder store, so that one can be copied to the other. */
export const s3BlobStore = (options: S3Options): BlobKeeper => {
  const client = new S3Client({
    endpoint: options.endpoint,
    region: options.region,
    forcePathStyle: true,
    credentials: { accessKeyId: options.accessKeyId, secretAccessKey: options.secretAccessKey },
  });
  const Bucket = options.bucket;
  const listed = async function* listed(prefix: string): AsyncGenerator<StoredBlob> {
    for await (const page of paginateListObjectsV2({ client }, { Bucket, Prefix: prefix }))
      for (const { Key: key, LastModified: at } of page.Contents ?? [])
        if (key !== undefined && at !== undefined) yield { key, writtenAtMs: at.getTime() };
  };
  const textOf = async (key: string): Promise<string> => {
    const { Body: body } = await client.send(new GetObjectCommand({ Bucket, Key: key }));
    if (body === undefined) throw new Error(`the store has no bytes for ${key}`);
    return body.transformToString("utf-8");
  };
  const isThere = async (key: string): Promise<boolean> => {
    for await (const one of listed(key)) if (one.key === key) return true;
    return false;
  };
  return {
    list: async function* list(practiceId) {
      for await (const one of listed(`${practiceId}/`)) if (isStoredKey(one.key)) yield one;
    },
    // Between the look and the removal lies one round trip; the protocol has no removal by age.
    removeOlder: async (key, beforeMs) => {
      if (!isBlobKey(key)) throw new Error(`not a blob key: ${key}`);
      const { LastModified: at } = await client.send(new HeadObjectCommand({ Bucket, Key: key }));
      if (at === undefined || at.getTime() >= beforeMs) return false;
      await client.send(new DeleteObjectCommand({ Bucket, Key: key }));
      return true;
    },
    noteOnce: async (name, text) => {
      if (!isNoteName(name)) throw new Error(`not the name of a note: ${name}`);
      const key = `notes/${name}`;
      if (await isThere(key)) return false;
      // Of two at the same moment the store takes the first.
      await client.send(new PutObjectCommand({ Bucket, Key: key, Body: text, IfNoneMatch: "*" }));
      return true;
    },
    notes: async (practiceId) => {
      const found: { readonly name: string; readonly text: string }[] = [];
      for await (const { key } of listed(`notes/${practiceId}/`)) {
        const name = key.slice("notes/".length);
        if (isNoteName(name)) found.push({ name, text: await textOf(key) });
      }
      return found.toSorted((a, b) => (a.name < b.name ? -1 : 1));
    },
    put: async (practiceId, bytes) => {
      const { key, sha256 } = blobKeyOf(practiceId, bytes);
      await client.send(new PutObjectCommand({ Bucket: options.bucket, Key: key, Body: bytes }));
      return { key, sha256 };
    },
    get: async (key) => {
      if (!isBlobKey(key)) throw new Error(`not a blob key: ${key}`);
      const { Body: body } = await client.send(
        new GetObjectCommand({ Bucket: options.bucket, Key: key }),
      );
      if (body === undefined) throw new Error(`the store has no bytes for ${key}`);
      return body.transformToByteArray();
    },
  };
};
