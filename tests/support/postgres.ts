import { mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import pg from "pg";
import type { TestProject } from "vitest/node";
import { startEmbeddedPostgres } from "../../apps/api/src/database/embedded.ts";
import { migrate } from "../../apps/api/src/database/migrate.ts";
import { isAlive, runningServer } from "../../apps/api/src/database/postmaster-file.ts";

/** The one database server that all test files of a run share. */
export interface TestServer {
  /** Superuser's connection URL, database `postgres`. */
  readonly ownerUrl: string;
  /** Password of the role the service works under. */
  readonly appPassword: string;
  /** Name of the migrated, empty database that tests clone. */
  readonly template: string;
}

declare module "vitest" {
  interface ProvidedContext {
    pg: TestServer;
  }
}

const folderPrefix = "heelward-test-";
const template = "heelward_template";
const appPassword = "test-only-password-of-the-app-role";

// A test run that was killed outright leaves its server behind; the next run tidies up.
const removeLeftovers = (): void => {
  for (const name of readdirSync(tmpdir())) {
    const owner = new RegExp(`^${folderPrefix}(\\d+)-`, "u").exec(name)?.[1];
    if (owner === undefined || isAlive(Number(owner))) continue;
    const folder = join(tmpdir(), name);
    const left = runningServer(join(folder, "postgres"));
    if (left !== undefined) process.kill(left.pid, "SIGQUIT");
    rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
  }
};

/** Starts the server and makes the template once per test run; vitest calls it. */
export const setup = async (project: TestProject): Promise<() => Promise<void>> => {
  removeLeftovers();
  const dataDir = mkdtempSync(join(tmpdir(), `${folderPrefix}${process.pid}-`));
  const server = await startEmbeddedPostgres({
    dataDir,
    password: "test-only-password-of-the-owner",
    isDurable: false,
  });
  const ownerUrl = server.url("postgres");
  const owner = new pg.Client({ connectionString: ownerUrl });
  await owner.connect();
  await owner.query(`CREATE DATABASE ${template}`);
  await owner.end();
  await migrate(server.url(template), { appPassword });
  project.provide("pg", { ownerUrl, appPassword, template });
  return async () => {
    await server.stop();
    rmSync(dataDir, { recursive: true, force: true });
  };
};
