import { join } from "node:path";
import { buildApp } from "./app.ts";
import { folderBlobStore } from "./blobs/blob-store.ts";
import { s3BlobStore, type S3Options } from "./blobs/s3-blob-store.ts";
import { connect } from "./database/client.ts";
import type { Secrets } from "./database/secrets.ts";
import { createSigner } from "./records/signer.ts";

export interface ServerOptions {
  readonly host: string;
  readonly port: number;
  readonly ownerUrl?: string;
  readonly appUrl: string;
  readonly dataDir: string;
  readonly secrets: Secrets;
  readonly webDist?: string;
  readonly logLevel: string;
  readonly isSecure?: boolean;
  readonly s3?: S3Options;
}

export interface Server {
  readonly url: string;
  /** Lets requests under way finish, then lets go of the database. */
  readonly close: () => Promise<void>;
}

/** Listens on one port with API and dashboard. @throws the listen error when the port is taken. */
export const startServer = async (options: ServerOptions): Promise<Server> => {
  const db = connect(options.appUrl);
  const app = await buildApp({
    db,
    listenUrl: options.appUrl,
    blobs:
      options.s3 === undefined
        ? folderBlobStore(join(options.dataDir, "blobs"))
        : s3BlobStore(options.s3),
    signer: createSigner(options.secrets.signingSeedHex),
    secrets: options.secrets,
    now: () => Date.now(),
    logLevel: options.logLevel,
    isSecure: options.isSecure === true,
    ...(options.webDist === undefined ? {} : { webDist: options.webDist }),
  });
  try {
    const url = await app.listen({ host: options.host, port: options.port });
    return {
      url,
      close: async () => {
        await app.close();
        await db.$disconnect();
      },
    };
  } catch (error) {
    await app.close();
    await db.$disconnect();
    throw error;
  }
};
