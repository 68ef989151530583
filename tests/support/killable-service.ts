import { join } from "node:path";
import { buildApp } from "../../apps/api/src/app.ts";
import { folderBlobStore } from "../../apps/api/src/blobs/blob-store.ts";
import { connect } from "../../apps/api/src/database/client.ts";
import { loadOrCreateSecrets } from "../../apps/api/src/database/secrets.ts";
import { startJobs } from "../../apps/api/src/jobs/start-jobs.ts";
import { createSealer } from "../../apps/api/src/mail/sealer.ts";
import { createSigner } from "../../apps/api/src/records/signer.ts";

// The service with its background work, in a process that somebody will kill.
process.on("disconnect", () => process.exit(0));
const [, , appUrl = "", dataDir = "", port = "0"] = process.argv;
const secrets = loadOrCreateSecrets(dataDir);
const db = connect(appUrl);
const now = () => Date.now();
const mail = {
  sealer: createSealer(secrets.encryptionKeyHex),
  publicUrl: `http://127.0.0.1:${port}`,
};
const app = await buildApp({
  db,
  listenUrl: appUrl,
  blobs: folderBlobStore(join(dataDir, "blobs")),
  signer: createSigner(secrets.signingSeedHex),
  secrets,
  now,
  mail,
  requestsPerMinute: 1_000_000_000,
  signInsPerMinute: 1_000_000_000,
});
await app.listen({ host: "127.0.0.1", port: Number(port) });
await startJobs({ db, appUrl, now, mail, log: () => undefined });
