import pg from "pg";
import { startEmbeddedPostgres } from "./embedded.ts";
import { migrate, urlAs, appRole } from "./migrate.ts";
import type { Secrets } from "./secrets.ts";

/** Where rows are kept and how to reach them. */
export interface Database {
  /** Connection URL of the schema's owner: migrations, backups, the demo. */
  readonly ownerUrl: string;
  /** Connection URL of the role the service works under. */
  readonly appUrl: string;
  /**
   * The same role without a pooler in between: news of changes needs a connection of its own.
   */
  readonly listenUrl: string;
  /** Connections may go through a pooler that shares them between clients. */
  readonly isPooled: boolean;
  /** In words, for the person who starts the service. */
  readonly place: string;
  /** Migrations applied just now. */
  readonly applied: readonly string[];
  /** Stops the server if it is ours. */
  readonly stop: () => Promise<void>;
}

/** What `prepareDatabase` needs to know. */
export interface DatabaseOptions {
  readonly dataDir: string;
  readonly secrets: Secrets;
  /** Owner's URL of an outside Postgres; without it the embedded one is started. */
  readonly databaseUrl?: string;
  /**
   * URL the service works under, when someone else manages that role or when connections go through
   * a pooler. Without it the role is made here and reached the same way as `databaseUrl`.
   */
  readonly appDatabaseUrl?: string;
  /** Called once for a database without a practice; absent when it should stay empty. */
  readonly fill?: (urls: { readonly ownerUrl: string; readonly appUrl: string }) => Promise<void>;
  readonly log: (message: string) => void;
}

/** Name of the case file's database on our own server. */
export const databaseName = "heelward";
const draftName = "heelward_being_filled";

const withClient = async <T>(url: string, use: (client: pg.Client) => Promise<T>): Promise<T> => {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    return await use(client);
  } finally {
    await client.end();
  }
};

// Asked of the file on disk, not of the rows: row-level security would hide them from an owner who
// is no superuser, and the demo would be loaded a second time.
const isEmpty = async (ownerUrl: string): Promise<boolean> =>
  withClient(ownerUrl, async (client) => {
    const { rows } = await client.query<{ empty: boolean }>(
      "SELECT pg_relation_size('public.practices') = 0 AS empty",
    );
    return rows[0]?.empty === true;
  });

const databaseExists = async (adminUrl: string, name: string): Promise<boolean> =>
  withClient(adminUrl, async (client) => {
    const { rowCount } = await client.query("SELECT 1 FROM pg_database WHERE datname = $1", [name]);
    return rowCount === 1;
  });

const prepareOutside = async (options: DatabaseOptions, ownerUrl: string): Promise<Database> => {
  const appPassword = options.secrets.databaseAppPassword;
  const migrated = await migrate(
    ownerUrl,
    options.appDatabaseUrl === undefined ? { appPassword } : {},
  );
  const appUrl = options.appDatabaseUrl ?? urlAs(ownerUrl, appRole, appPassword);
  if (options.fill !== undefined && (await isEmpty(ownerUrl))) {
    await options.fill({ ownerUrl, appUrl });
  }
  const { host, pathname } = new URL(ownerUrl);
  const { username, password } = new URL(appUrl);
  return {
    ownerUrl,
    appUrl,
    listenUrl: urlAs(ownerUrl, decodeURIComponent(username), decodeURIComponent(password)),
    isPooled: options.appDatabaseUrl !== undefined,
    place: `Postgres at ${host}${pathname}`,
    applied: migrated.applied,
    stop: async () => undefined,
  };
};

const prepareEmbedded = async (options: DatabaseOptions): Promise<Database> => {
  const server = await startEmbeddedPostgres({
    dataDir: options.dataDir,
    password: options.secrets.databaseOwnerPassword,
    isDurable: true,
    log: options.log,
  });
  const appPassword = options.secrets.databaseAppPassword;
  try {
    const adminUrl = server.url("postgres");
    const ownerUrl = server.url(databaseName);
    const applied: string[] = [];
    const exists = await databaseExists(adminUrl, databaseName);
    if (exists) applied.push(...(await migrate(ownerUrl, { appPassword })).applied);
    const fill = options.fill;
    if (!exists || (fill !== undefined && (await isEmpty(ownerUrl)))) {
      // Filled under another name and renamed when complete: a crash half way leaves nothing that
      // the next start would take for a whole database.
      await withClient(adminUrl, async (client) => {
        await client.query(`DROP DATABASE IF EXISTS ${draftName} WITH (FORCE)`);
        await client.query(`CREATE DATABASE ${draftName}`);
      });
      const draftUrl = server.url(draftName);
      const migrated = await migrate(draftUrl, { appPassword });
      applied.push(...migrated.applied);
      await fill?.({ ownerUrl: draftUrl, appUrl: urlAs(draftUrl, appRole, appPassword) });
      await withClient(adminUrl, async (client) => {
        await client.query(
          "SELECT pg_terminate_backend(pid, 5000) FROM pg_stat_activity WHERE datname = $1",
          [draftName],
        );
        await client.query(`DROP DATABASE IF EXISTS ${databaseName}`);
        await client.query(`ALTER DATABASE ${draftName} RENAME TO ${databaseName}`);
      });
    }
    const appUrl = urlAs(ownerUrl, appRole, appPassword);
    return {
      ownerUrl,
      appUrl,
      listenUrl: appUrl,
      isPooled: false,
      place: server.clusterFolder,
      applied: [...new Set(applied)],
      stop: server.stop,
    };
  } catch (error) {
    await server.stop();
    throw error;
  }
};

/**
 * Makes a database ready for the service: started if it is ours, migrated, and filled if it is
 * empty and the caller wants that.
 */
export const prepareDatabase = async (options: DatabaseOptions): Promise<Database> =>
  options.databaseUrl === undefined
    ? prepareEmbedded(options)
    : prepareOutside(options, options.databaseUrl);
