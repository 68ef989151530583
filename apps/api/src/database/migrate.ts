import { createHash, randomUUID } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import pg from "pg";
import { repositoryFolder } from "./files.ts";

/** The login role the service works under: no owner, no superuser, bound by row-level security. */
export const appRole = "heelward_app";

/** Where the migrations lie: `<name>/migration.sql`, applied in name order. */
const migrationsFolder = join(repositoryFolder, "prisma", "migrations");

/** One step of the schema's history. `checksum` is the SHA-256 of the file's bytes, in hex. */
export interface Migration {
  readonly name: string;
  readonly sql: string;
  readonly checksum: string;
}

/** A reason not to touch the database. The message says what to do. */
export class MigrationRefused extends Error {
  override readonly name = "MigrationRefused";
}

/** Reads every `<name>/migration.sql` of a folder in name order. */
export const readMigrations = (folder: string = migrationsFolder): readonly Migration[] =>
  readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name)
    .toSorted()
    .map((name) => {
      const bytes = readFileSync(join(folder, name, "migration.sql"));
      return {
        name,
        sql: bytes.toString("utf8"),
        checksum: createHash("sha256").update(bytes).digest("hex"),
      };
    });

/** A row of the history table, as far as the decision needs it. */
export interface AppliedMigration {
  readonly name: string;
  readonly checksum: string;
  readonly isFinished: boolean;
}

/**
 * Decides which migrations are still to be applied. Forward only: history that was edited, removed,
 * left half done or overtaken is refused, because the database would no longer match the files.
 *
 * @throws MigrationRefused naming the migration and the way out.
 */
export const pendingMigrations = (
  files: readonly Migration[],
  applied: readonly AppliedMigration[],
): readonly Migration[] => {
  const byName = new Map(files.map((file) => [file.name, file]));
  for (const row of applied) {
    const file = byName.get(row.name);
    if (!row.isFinished) {
      throw new MigrationRefused(
        `Migration ${row.name} was begun by another tool and not finished. Mark it as rolled back there first.`,
      );
    }
    if (file === undefined) {
      throw new MigrationRefused(
        `Migration ${row.name} is in the database but not in this version's files. Is this an older version of Heelward than the one that last ran?`,
      );
    }
    if (file.checksum !== row.checksum) {
      throw new MigrationRefused(
        `Migration ${row.name} was edited after it was applied. Restore the file and put the change into a new migration.`,
      );
    }
  }
  const done = new Set(applied.map((row) => row.name));
  const newest = applied.map((row) => row.name).reduce((a, b) => (a > b ? a : b), "");
  const pending = files.filter((file) => !done.has(file.name));
  for (const file of pending) {
    if (file.name < newest) {
      throw new MigrationRefused(
        `Migration ${file.name} comes before ${newest}, which is already applied. Give it a later name.`,
      );
    }
  }
  return pending;
};

// The table and lock number of the ORM's own command-line tool, so that either may run and both agree.
const historyTable = `
  CREATE TABLE IF NOT EXISTS "_prisma_migrations" (
    "id"                  VARCHAR(36) PRIMARY KEY NOT NULL,
    "checksum"            VARCHAR(64) NOT NULL,
    "finished_at"         TIMESTAMPTZ,
    "migration_name"      VARCHAR(255) NOT NULL,
    "logs"                TEXT,
    "rolled_back_at"      TIMESTAMPTZ,
    "started_at"          TIMESTAMPTZ NOT NULL DEFAULT now(),
    "applied_steps_count" INTEGER NOT NULL DEFAULT 0
  )`;
const advisoryLock = 72_707_369;

const readApplied = async (client: pg.Client): Promise<readonly AppliedMigration[]> => {
  const { rows } = await client.query<{ name: string; checksum: string; finished: boolean }>(
    `SELECT migration_name AS name, checksum, finished_at IS NOT NULL AS finished
       FROM "_prisma_migrations" WHERE rolled_back_at IS NULL`,
  );
  return rows.map((row) => ({
    name: row.name,
    checksum: row.checksum,
    isFinished: row.finished,
  }));
};

const applyOne = async (client: pg.Client, migration: Migration): Promise<void> => {
  await client.query("BEGIN");
  try {
    await client.query(migration.sql);
    await client.query(
      `INSERT INTO public."_prisma_migrations"
         (id, checksum, migration_name, started_at, finished_at, applied_steps_count)
       VALUES ($1, $2, $3, now(), clock_timestamp(), 1)`,
      [randomUUID(), migration.checksum, migration.name],
    );
    await client.query("COMMIT");
  } catch (error) {
    await client.query("ROLLBACK");
    throw new Error(
      `Migration ${migration.name} failed and was rolled back: ${error instanceof Error ? error.message : String(error)}`,
      { cause: error },
    );
  }
};

const ensureAppRole = async (client: pg.Client, password: string | undefined): Promise<void> => {
  const { rows } = await client.query<{ super: boolean; bypass: boolean }>(
    "SELECT rolsuper AS super, rolbypassrls AS bypass FROM pg_roles WHERE rolname = $1",
    [appRole],
  );
  const existing = rows[0];
  if (existing !== undefined && (existing.super || existing.bypass)) {
    throw new MigrationRefused(
      `Role ${appRole} may bypass row-level security. Remove SUPERUSER and BYPASSRLS from it first.`,
    );
  }
  if (password !== undefined) {
    const verb = existing === undefined ? "CREATE" : "ALTER";
    const secret = client.escapeLiteral(password);
    await client.query(`${verb} ROLE ${appRole} LOGIN PASSWORD ${secret}`);
  } else if (existing === undefined) {
    throw new MigrationRefused(
      `Role ${appRole} is missing. Make it (LOGIN, without SUPERUSER and BYPASSRLS), or let Heelward make it.`,
    );
  }
  const { rows: names } = await client.query<{ database: string }>(
    "SELECT current_database() AS database",
  );
  const database = client.escapeIdentifier(names[0]?.database ?? "");
  await client.query(`GRANT CONNECT ON DATABASE ${database} TO ${appRole}`);
  await client.query(`GRANT USAGE ON SCHEMA public TO ${appRole}`);
};

/** The same server and database, seen as another login. */
export const urlAs = (url: string, user: string, password: string): string => {
  const changed = new URL(url);
  changed.username = encodeURIComponent(user);
  changed.password = encodeURIComponent(password);
  return changed.href;
};

/** What a migration run did. */
export interface Migrated {
  /** Names applied by this run, in order; empty when the schema was up to date. */
  readonly applied: readonly string[];
}

/**
 * Brings a database up to this version's schema: makes the service's role (so that migrations may
 * grant to it), then applies what is missing, each file in its own transaction. Processes that
 * start together wait for each other on an advisory lock; all but the first find nothing to do.
 *
 * @param ownerUrl connection URL of the role that owns the schema and may create roles
 * @param options.appPassword password the service's role gets; without it the role must exist
 * @throws MigrationRefused when the history does not fit the files; nothing is changed then
 */
export const migrate = async (
  ownerUrl: string,
  options: {
    readonly appPassword?: string;
    readonly folder?: string;
    /** Stops after this one, for rows that are of its time. */
    readonly upTo?: string;
  },
): Promise<Migrated> => {
  const { upTo } = options;
  const files = readMigrations(options.folder).filter(
    ({ name }) => upTo === undefined || name <= upTo,
  );
  const client = new pg.Client({ connectionString: ownerUrl });
  await client.connect();
  try {
    await client.query("SELECT pg_advisory_lock($1)", [advisoryLock]);
    await client.query(historyTable);
    const pending = pendingMigrations(files, await readApplied(client));
    await ensureAppRole(client, options.appPassword);
    for (const migration of pending) {
      // One after the other: each builds on the one before.
      // oxlint-disable-next-line no-await-in-loop
      await applyOne(client, migration);
    }
    return { applied: pending.map((migration) => migration.name) };
  } finally {
    // Closing the session releases the advisory lock, whatever happened.
    await client.end();
  }
};
