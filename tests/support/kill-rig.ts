import { spawn, type ChildProcess } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import pg from "pg";
import { clusterFolder } from "../../apps/api/src/database/embedded-cluster.ts";
import { isAlive, runningServer } from "../../apps/api/src/database/postmaster-file.ts";
import { prepareDatabase } from "../../apps/api/src/database/prepare-database.ts";
import { loadOrCreateSecrets } from "../../apps/api/src/database/secrets.ts";
import { freePort } from "./free-port.ts";

/** What is killed: the service, the database, one of the database's processes, or all of it. */
export type Victim = "service" | "database" | "connection" | "both";
export const VICTIMS: readonly Victim[] = ["service", "database", "connection", "both"];

/** A durable database with a service in front that is started again whenever it ends. */
export interface Rig {
  readonly url: string;
  readonly dataDir: string;
  readonly query: (sql: string, values?: unknown[]) => Promise<Record<string, unknown>[]>;
  readonly kill: (victim: Victim) => void;
  readonly stop: () => Promise<void>;
}

/** A durable database and the service in a process of its own that is started again whenever it ends. */
export const startRig = async (): Promise<Rig> => {
  const dataDir = mkdtempSync(join(tmpdir(), "heelward-kill-"));
  const secrets = loadOrCreateSecrets(dataDir);
  const database = await prepareDatabase({ dataDir, secrets, log: () => undefined });
  const admin = new pg.Pool({ connectionString: database.ownerUrl, max: 2 });
  admin.on("error", () => undefined);
  const port = await freePort();
  const program = fileURLToPath(new URL("killable-service.ts", import.meta.url));
  let isStopping = false;
  let child: ChildProcess | undefined;
  const start = (): void => {
    if (isStopping) return;
    child = spawn(
      process.execPath,
      ["--conditions=development", program, database.appUrl, dataDir, String(port)],
      // Told through the channel when this process is gone.
      { stdio: ["ignore", "ignore", "ignore", "ipc"] },
    );
    // A service that finds no database ends; whoever supervises it tries again.
    child.once("exit", () => void setTimeout(start, 100));
  };
  start();
  const killDatabase = (): void => {
    const pid = runningServer(clusterFolder(dataDir))?.pid;
    if (pid !== undefined && isAlive(pid)) process.kill(pid, "SIGKILL");
  };
  return {
    url: `http://127.0.0.1:${port}/api/v1`,
    dataDir,
    query: async (sql, values = []) =>
      (await admin.query<Record<string, unknown>>(sql, values)).rows,
    kill: (victim) => {
      if (victim === "database" || victim === "both") killDatabase();
      if (victim === "service" || victim === "both") child?.kill("SIGKILL");
      if (victim === "connection")
        // One process of the server dies, as when the machine runs out of memory: all others end too.
        void admin
          .query<{ pid: number }>(
            "SELECT pid FROM pg_stat_activity WHERE usename = 'heelward_app' ORDER BY random() LIMIT 1",
          )
          .then(({ rows: [row] }) => row && process.kill(row.pid, "SIGKILL"))
          .catch(() => undefined);
    },
    stop: async () => {
      isStopping = true;
      if (child !== undefined && child.exitCode === null && child.signalCode === null) {
        const ended = new Promise((resolve) => child?.once("exit", resolve));
        child.kill("SIGKILL");
        await ended;
      }
      await admin.end();
      await database.stop();
      rmSync(dataDir, { recursive: true, force: true, maxRetries: 5 });
    },
  };
};
