import type { TestService } from "./service.ts";

/** What a change behind the service's back is undone with. */
export interface Tampering {
  /** Changes rows as somebody would who has the database's superuser: past every trigger, in one transaction. */
  readonly tamper: (sql: string) => Promise<unknown>;
  /** Puts the tables back as they were when this was made. */
  readonly undo: () => Promise<unknown>;
}

/** Keeps copies of tables, so that a test can change them behind the service's back and put them back. */
export const keepTables = async (
  service: TestService,
  tables: readonly string[],
): Promise<Tampering> => {
  await service.query(
    tables.map((table) => `CREATE TABLE kept_${table} AS TABLE ${table}`).join("; "),
  );
  const tamper = (sql: string) =>
    service.query(`SET LOCAL session_replication_role = replica; ${sql}`);
  return {
    tamper,
    undo: () =>
      tamper(
        tables
          .map((table) => `DELETE FROM ${table}; INSERT INTO ${table} SELECT * FROM kept_${table}`)
          .join("; "),
      ),
  };
};
