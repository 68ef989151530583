import { GetObjectCommand, PutObjectCommand, S3Client } from "@aws-sdk/client-s3";
import { blobKeyOf, isBlobKey, type BlobStore } from "./blob-store.ts";

/** Where an S3-compatible store is and how to sign in there. */
export interface S3Options {
  readonly endpoint: string;
  readonly bucket: string;
  readonly region: string;
  readonly accessKeyId: string;
  readonly secretAccessKey: string;
}

/** Keeps blobs in a bucket under the same keys as the folder store, so that one can be copied to the other. */
export const s3BlobStore = (options: S3Options): BlobStore => {
  const client = new S3Client({
    endpoint: options.endpoint,
    region: options.region,
    forcePathStyle: true,
    credentials: { accessKeyId: options.accessKeyId, secretAccessKey: options.secretAccessKey },
  });
  return {
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
