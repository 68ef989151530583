import { join } from "node:path";
import { buildApp } from "./app.ts";
import { folderBlobStore } from "./blobs/blob-store.ts";
import { s3BlobStore, type S3Options } from "./blobs/s3-blob-store.ts";
import { connect } from "./database/client.ts";
import type { Secrets } from "./database/secrets.ts";
import { roadServer } from "./features/routes/drive-times.ts";
import { startJobs } from "./jobs/start-jobs.ts";
import { smtpMailer } from "./mail/mailer.ts";
import { createSealer } from "./mail/sealer.ts";
import { createSigner } from "./records/signer.ts";

export interface ServerOptions {
  readonly host: string;
  readonly port: number;
  readonly ownerUrl?: string;
  readonly appUrl: string;
  /** Reaches Postgres itself where `appUrl` reaches a pooler. */
  readonly listenUrl?: string;
  readonly isPooled?: boolean;
  readonly dataDir: string;
  readonly secrets: Secrets;
  readonly webDist?: string;
  readonly logLevel: string;
  readonly isSecure?: boolean;
  readonly s3?: S3Options;
  readonly smtp?: { readonly url: string; readonly from: string };
  /** Where people reach the dashboard; where it listens when left out. */
  readonly publicUrl?: string;
  readonly driveTimesUrl?: string;
  readonly metricsToken?: string;
}

export interface Server {
  readonly url: string;
  /** Lets requests under way finish, then lets go of the database. */
  readonly close: () => Promise<void>;
}

/** Listens on one port with API and dashboard. @throws the listen error when the port is taken. */
export const startServer = async (options: ServerOptions): Promise<Server> => {
  const db = connect(options.appUrl, undefined, { isPooled: options.isPooled === true });
  const listenUrl = options.listenUrl ?? options.appUrl;
  const now = () => Date.now();
  const mail = {
    sealer: createSealer(
      options.secrets.encryptionKeyHex,
      options.secrets.earlierEncryptionKeysHex,
    ),
    publicUrl: options.publicUrl ?? `http://${options.host}:${options.port}`,
  };
  const roads =
    options.driveTimesUrl === undefined
      ? undefined
      : roadServer({ baseUrl: options.driveTimesUrl, now });
  const blobs =
    options.s3 === undefined
      ? folderBlobStore(join(options.dataDir, "blobs"))
      : s3BlobStore(options.s3);
  const signer = createSigner(options.secrets.signingSeedHex);
  const app = await buildApp({
    db,
    mail,
    ...(roads === undefined ? {} : { roads }),
    listenUrl,
    blobs,
    signer,
    secrets: options.secrets,
    now,
    logLevel: options.logLevel,
    isSecure: options.isSecure === true,
    ...(options.metricsToken === undefined ? {} : { metricsToken: options.metricsToken }),
    ...(options.webDist === undefined ? {} : { webDist: options.webDist }),
  });
  try {
    const url = await app.listen({ host: options.host, port: options.port });
    const jobs = await startJobs({
      db,
      appUrl: options.appUrl,
      listenUrl,
      now,
      mail,
      ...(options.smtp === undefined
        ? {}
        : { mailer: smtpMailer(options.smtp.url, options.smtp.from) }),
      ...(roads === undefined ? {} : { roads }),
      keeping: { blobs, signer },
      noteHead: (practiceId, head) => app.log.info({ practiceId, ...head }, "head of the log"),
      log: (what, error) => app.log.error({ err: error }, what),
    });
    return {
      url,
      close: async () => {
        await app.close();
        await jobs.stop();
        await db.$disconnect();
      },
    };
  } catch (error) {
    await app.close();
    await db.$disconnect();
    throw error;
  }
};
