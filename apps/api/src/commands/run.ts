import { existsSync, mkdirSync } from "node:fs";
import { join, resolve } from "node:path";
import { folderBlobStore } from "../blobs/blob-store.ts";
import { s3BlobStore } from "../blobs/s3-blob-store.ts";
import { readConfig, type Config } from "../config.ts";
import { prepareDatabase } from "../database/prepare-database.ts";
import { ownerUrlOfRunning, startWithEmptyDatabase } from "../database/running-database.ts";
import { loadOrCreateSecrets } from "../database/secrets.ts";
import { createSigner } from "../records/signer.ts";
import { backUp, verifyFile } from "./backup.ts";
import { restore } from "./restore.ts";

// `npm run backup|restore|prove`: what an operator does beside the service.

const USAGE = `
  npm run backup  -- <file.zip>          writes everything into one file and checks it; the service may run
  npm run restore -- <file.zip>          puts a backup or a practice's export into an empty database
  npm run prove   -- <file.zip> [key]    checks an archive without database or network
`;

const blobsOf = (config: Config) =>
  config.s3 === undefined ? folderBlobStore(join(config.dataDir, "blobs")) : s3BlobStore(config.s3);

/** Uses the database of the running service, or starts it for as long as this takes. */
const withDatabase = async <T>(
  config: Config,
  isEmpty: boolean,
  use: (ownerUrl: string) => Promise<T>,
): Promise<T> => {
  const secrets = loadOrCreateSecrets(config.dataDir);
  const running = config.databaseUrl ?? ownerUrlOfRunning(config.dataDir, secrets);
  if (running !== undefined) return use(running);
  const database = isEmpty
    ? await startWithEmptyDatabase(config.dataDir, secrets)
    : await prepareDatabase({ dataDir: config.dataDir, secrets, log: console.log });
  try {
    return await use(database.ownerUrl);
  } finally {
    await database.stop();
  }
};

const verifying = async (path: string, key: string | undefined): Promise<boolean> => {
  const { isWhole, faults, counts, publicKey, manifest } = await verifyFile(path, key);
  console.log(
    `${manifest?.kind ?? "archive"} of ${manifest?.madeAt ?? "unknown date"}: ${counts.files} files, ${counts.rows} rows, ${counts.entries} log entries, ${counts.sealedRows} rows sealed by the log, ${counts.signatures} signatures`,
  );
  console.log(`signed with key ${publicKey ?? "(none)"}`);
  for (const fault of faults) console.error(`  ${fault}`);
  console.log(isWhole ? "Whole: nothing was altered, removed or re-ordered." : "NOT whole.");
  return isWhole;
};

const run = async (command: string | undefined, file: string | undefined, key?: string) => {
  if (file === undefined || !["backup", "restore", "prove"].includes(command ?? "")) {
    console.error(USAGE);
    return false;
  }
  const path = resolve(file);
  if (command === "prove") return verifying(path, key);
  const config = readConfig(process.env);
  mkdirSync(config.dataDir, { recursive: true });
  const secrets = loadOrCreateSecrets(config.dataDir);
  if (command === "restore") {
    const manifest = await withDatabase(config, true, (ownerUrl) =>
      restore({
        ownerUrl,
        blobs: blobsOf(config),
        path,
        ...(config.appDatabaseUrl === undefined
          ? { appPassword: secrets.databaseAppPassword }
          : {}),
      }),
    );
    console.log(`Restored the ${manifest.kind} of ${manifest.madeAt}.`);
    return true;
  }
  if (existsSync(path)) throw new Error(`${path} is there already; choose another name.`);
  const { verdict } = await withDatabase(config, false, (ownerUrl) =>
    backUp({
      ownerUrl,
      blobs: blobsOf(config),
      signer: createSigner(secrets.signingSeedHex),
      path,
      nowMs: Date.now(),
    }),
  );
  for (const fault of verdict.faults) console.error(`  ${fault}`);
  console.log(
    verdict.isWhole
      ? `Backed up ${verdict.counts.rows} rows and ${verdict.counts.files} files, read back and checked. Keep secrets.json of ${config.dataDir} in another safe place.`
      : "The backup was written, but what it holds is NOT whole.",
  );
  return verdict.isWhole;
};

try {
  const [command, file, key] = process.argv.slice(2);
  process.exitCode = (await run(command, file, key)) ? 0 : 1;
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  process.exitCode = 1;
}
