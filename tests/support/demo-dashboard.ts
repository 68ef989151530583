import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import pg from "pg";
import { buildApp } from "../../apps/api/src/app.ts";
import { folderBlobStore } from "../../apps/api/src/blobs/blob-store.ts";
import { connect } from "../../apps/api/src/database/client.ts";
import { loadOrCreateSecrets } from "../../apps/api/src/database/secrets.ts";
import { loadDemo } from "../../apps/api/src/demo/load-demo.ts";
import { createSigner } from "../../apps/api/src/records/signer.ts";
import { WEB_DIST } from "./dashboard.ts";
import { createTestDatabase } from "./database.ts";
import { TEST_MAIL } from "./service.ts";

/** The built dashboard on the demo practice, every film drawn and every record told by now. */
export interface DemoService {
  readonly url: string;
  /** Looks behind the service, as superuser. */
  readonly query: (
    sql: string,
    values: readonly unknown[],
  ) => Promise<readonly Record<string, unknown>[]>;
  /** The password of everybody in the demo. */
  readonly password: string;
  readonly close: () => Promise<void>;
}

/** Several people read at once, and a busy machine takes its time over it. */
const PATIENCE = { connectMs: 60_000, statementMs: 60_000, silentMs: 80_000 };

/** Loads the demo into a database of the test's own and serves it on a port of its own. */
export const startDemoService = async (): Promise<DemoService> => {
  const database = await createTestDatabase();
  const dataDir = mkdtempSync(join(tmpdir(), "heelward-demo-"));
  const { ownerUrl, appUrl } = database;
  const { signIns } = await loadDemo({ ownerUrl, appUrl, dataDir, nowMs: Date.now() });
  const secrets = loadOrCreateSecrets(dataDir);
  const db = connect(appUrl, 10, { patience: PATIENCE });
  const app = await buildApp({
    db,
    listenUrl: appUrl,
    blobs: folderBlobStore(join(dataDir, "blobs")),
    signer: createSigner(secrets.signingSeedHex),
    secrets,
    now: () => Date.now(),
    mail: TEST_MAIL,
    requestsPerMinute: 1_000_000,
    signInsPerMinute: 1_000_000,
    webDist: WEB_DIST,
  });
  const url = await app.listen({ host: "127.0.0.1", port: 0 });
  return {
    url,
    password: signIns[0]?.password ?? "",
    query: async (sql, values) => {
      const client = new pg.Client({ connectionString: ownerUrl });
      await client.connect();
      try {
        return (await client.query<Record<string, unknown>>(sql, [...values])).rows;
      } finally {
        await client.end();
      }
    },
    close: async () => {
      await app.close();
      await db.$disconnect();
      await database.drop();
      rmSync(dataDir, { recursive: true, force: true });
    },
  };
};
