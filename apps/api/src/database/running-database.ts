import pg from "pg";
import { clusterFolder } from "./embedded-cluster.ts";
import { serverUrl, startEmbeddedPostgres } from "./embedded.ts";
import { runningServer } from "./postmaster-file.ts";
import { databaseName } from "./prepare-database.ts";
import type { Secrets } from "./secrets.ts";

/** Owner's URL of the embedded database while a service keeps it running; undefined when none does. */
export const ownerUrlOfRunning = (dataDir: string, secrets: Secrets): string | undefined => {
  const running = runningServer(clusterFolder(dataDir));
  return running === undefined
    ? undefined
    : serverUrl(running.port, secrets.databaseOwnerPassword, databaseName);
};

/** Starts the embedded server with a database that holds nothing yet, not even tables, unless it has one. */
export const startWithEmptyDatabase = async (
  dataDir: string,
  secrets: Secrets,
): Promise<{ readonly ownerUrl: string; readonly stop: () => Promise<void> }> => {
  const server = await startEmbeddedPostgres({
    dataDir,
    password: secrets.databaseOwnerPassword,
    isDurable: true,
  });
  try {
    const client = new pg.Client({ connectionString: server.url("postgres") });
    await client.connect();
    try {
      const { rowCount } = await client.query("SELECT 1 FROM pg_database WHERE datname = $1", [
        databaseName,
      ]);
      if (rowCount === 0) await client.query(`CREATE DATABASE ${databaseName}`);
    } finally {
      await client.end();
    }
    return { ownerUrl: server.url(databaseName), stop: server.stop };
  } catch (error) {
    await server.stop();
    throw error;
  }
};
