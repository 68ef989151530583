import { Socket } from "node:net";
import { PrismaPg } from "@prisma/adapter-pg";
import pg from "pg";
import { Prisma, PrismaClient } from "../generated/client.ts";
import { sha256Hex } from "../records/canonical.ts";

export type Database = PrismaClient;
export type Transaction = Prisma.TransactionClient;
export { Prisma };

/** Statements a connection keeps a plan of; lists of ids of every length would otherwise fill its memory. */
const MOST_PLANS = 500;

/** Names a statement by its text, so that a connection prepares it once; past the limit there is no name. */
const nameStatements = (): ((query: { readonly sql: string }) => string) => {
  const names = new Map<string, string>();
  return ({ sql }) => {
    const known = names.get(sql);
    if (known !== undefined) return known;
    if (names.size >= MOST_PLANS) return "";
    const name = sha256Hex(sql).slice(0, 32);
    names.set(sql, name);
    return name;
  };
};

/** How long the database is waited for. */
export interface Patience {
  /** For a connection to open. */
  readonly connectMs: number;
  /** For a statement to be answered. */
  readonly statementMs: number;
  /** A line on which nothing has moved for so long is cut. */
  readonly silentMs: number;
}
const PATIENCE: Patience = { connectMs: 8_000, statementMs: 30_000, silentMs: 40_000 };

/**
 * A pool whose connections are let go of when nothing comes any more: behind a cut line they would
 * wait for ever, and so would whoever got them next.
 */
const openPool = (
  appUrl: string,
  size: number,
  options: string,
  { connectMs, statementMs, silentMs }: Patience,
): pg.Pool => {
  const pool = new pg.Pool({
    connectionString: appUrl,
    max: size,
    connectionTimeoutMillis: connectMs,
    query_timeout: statementMs,
    keepAlive: true,
    ...(options === "" ? {} : { options }),
  });
  pool.on("connect", (client) => {
    const { stream } = (client as pg.Client).connection;
    if (stream instanceof Socket) stream.setTimeout(silentMs, () => stream.destroy());
  });
  return pool;
};

/**
 * What the server is told about a connection: it must not wait longer for us than we for it. A
 * transaction whose client vanished would hold its locks, and everybody else, until the machine's own
 * patience of two hours ends.
 */
const sessionSettings = ({ statementMs }: Patience): string =>
  Object.entries({
    plan_cache_mode: "force_generic_plan",
    statement_timeout: statementMs,
    idle_in_transaction_session_timeout: statementMs,
    tcp_keepalives_idle: 30,
    tcp_keepalives_interval: 10,
    tcp_keepalives_count: 3,
  })
    .map(([name, value]) => `-c ${name}=${value}`)
    .join(" ");

/**
 * Connects as the role that owns nothing. Each connection prepares a statement once and Postgres keeps
 * its plan, which row-level security makes dear; not so behind a pooler that shares connections
 * between clients (`isPooled`).
 */
export const connect = (
  appUrl: string,
  poolSize = 10,
  {
    isPooled = false,
    patience = PATIENCE,
  }: { readonly isPooled?: boolean; readonly patience?: Patience } = {},
): Database =>
  new PrismaClient({
    adapter: isPooled
      ? new PrismaPg(openPool(appUrl, poolSize, "", patience), { disposeExternalPool: true })
      : new PrismaPg(openPool(appUrl, poolSize, sessionSettings(patience), patience), {
          disposeExternalPool: true,
          statementNameGenerator: nameStatements(),
        }),
  });

/** On whose behalf a transaction runs; row-level security follows it. */
export interface Scope {
  readonly practiceId: string;
  readonly personId: string | null;
  readonly roles: readonly string[];
}

const TRANSACTION = { maxWait: 10_000, timeout: 20_000 } as const;

/** One transaction inside one practice. The setting ends with the transaction, so pooling is safe. */
export const inPractice = <T>(
  db: Database,
  scope: Scope,
  work: (tx: Transaction) => Promise<T>,
): Promise<T> =>
  db.$transaction(async (tx) => {
    await tx.$executeRaw`SELECT set_config('app.practice', ${scope.practiceId}, true),
      set_config('app.person', ${scope.personId ?? ""}, true), set_config('app.roles', ${scope.roles.join(",")}, true)`;
    return work(tx);
  }, TRANSACTION);

/** One transaction that may look an account up by its exact e-mail or token, before a practice is known. */
export const whileSigningIn = <T>(
  db: Database,
  work: (tx: Transaction) => Promise<T>,
): Promise<T> =>
  db.$transaction(async (tx) => {
    await tx.$executeRaw`SELECT set_config('app.signing_in', 'on', true)`;
    return work(tx);
  }, TRANSACTION);

/** Lets the rest of the transaction see what these roles see. */
export const setRoles = async (tx: Transaction, roles: readonly string[]): Promise<void> => {
  await tx.$executeRaw`SELECT set_config('app.roles', ${roles.join(",")}, true)`;
};

/** Narrows a transaction that began with signing in to one practice. */
export const enterPractice = async (tx: Transaction, scope: Scope): Promise<void> => {
  await tx.$executeRaw`SELECT set_config('app.signing_in', 'off', true), set_config('app.practice', ${scope.practiceId}, true),
    set_config('app.person', ${scope.personId ?? ""}, true), set_config('app.roles', ${scope.roles.join(",")}, true)`;
};
