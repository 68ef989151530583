import { PrismaPg } from "@prisma/adapter-pg";
import { Prisma, PrismaClient } from "../generated/client.ts";
import { sha256Hex } from "../records/canonical.ts";

export type Database = PrismaClient;
export type Transaction = Prisma.TransactionClient;
export { Prisma };

const nameOfStatement = ({ sql }: { readonly sql: string }): string => sha256Hex(sql).slice(0, 32);

/**
 * Connects as the role that owns nothing. With `keepsPlans` each connection prepares a statement once
 * and Postgres keeps its plan, which row-level security makes dear; not for a pooler that shares
 * connections between clients.
 */
export const connect = (
  appUrl: string,
  poolSize = 10,
  { keepsPlans = false }: { readonly keepsPlans?: boolean } = {},
): Database =>
  new PrismaClient({
    adapter: new PrismaPg(
      { connectionString: appUrl, max: poolSize },
      keepsPlans ? { statementNameGenerator: nameOfStatement } : {},
    ),
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
