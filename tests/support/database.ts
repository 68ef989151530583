import { randomBytes } from "node:crypto";
import pg from "pg";
import { inject } from "vitest";
import { appRole, urlAs } from "../../apps/api/src/database/migrate.ts";

/** A migrated, empty database of one test file's own. */
export interface TestDatabase {
  /** Superuser's connection URL: for arranging and inspecting, never for the service. */
  readonly ownerUrl: string;
  /** Connection URL of the role the service works under. */
  readonly appUrl: string;
  /** Closes every connection to the database and removes it. */
  readonly drop: () => Promise<void>;
}

const onServer = async (url: string, sql: string): Promise<void> => {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    await client.query(sql);
  } finally {
    await client.end();
  }
};

const createFrom = async (template: string): Promise<TestDatabase> => {
  const server = inject("pg");
  const name = `t_${randomBytes(8).toString("hex")}`;
  await onServer(server.ownerUrl, `CREATE DATABASE ${name} TEMPLATE ${template}`);
  const url = new URL(server.ownerUrl);
  url.pathname = `/${name}`;
  return {
    ownerUrl: url.href,
    appUrl: urlAs(url.href, appRole, server.appPassword),
    drop: async () => onServer(server.ownerUrl, `DROP DATABASE IF EXISTS ${name} WITH (FORCE)`),
  };
};

/** Clones the migrated template (some 30 ms), so that no test sees another's rows. */
export const createTestDatabase = async (): Promise<TestDatabase> =>
  createFrom(inject("pg").template);

/** A database without any table, for tests of the migrations themselves. */
export const createEmptyDatabase = async (): Promise<TestDatabase> => createFrom("template0");
