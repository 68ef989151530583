import { createHash } from "node:crypto";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import pg from "pg";
import { afterEach, beforeEach, describe, expect, inject, it } from "vitest";
import { appRole, migrate, readMigrations } from "../../../apps/api/src/database/migrate.ts";
import { createEmptyDatabase, type TestDatabase } from "../../support/database.ts";

describe("migrating a database", () => {
  const { appPassword } = inject("pg");
  let folder = "";
  let database: TestDatabase;

  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), "heelward-migrations-"));
    database = await createEmptyDatabase();
  });
  afterEach(async () => {
    await database.drop();
    rmSync(folder, { recursive: true });
  });

  const write = (name: string, sql: string): void => {
    mkdirSync(join(folder, name), { recursive: true });
    writeFileSync(join(folder, name, "migration.sql"), sql);
  };
  const run = async () => migrate(database.ownerUrl, { appPassword, folder });
  const rows = async <T extends pg.QueryResultRow>(sql: string, url = database.ownerUrl) => {
    const client = new pg.Client({ connectionString: url });
    await client.connect();
    try {
      return (await client.query<T>(sql)).rows;
    } finally {
      await client.end();
    }
  };

  it("applies what is missing in order, once", async () => {
    write("0001_first", "CREATE TABLE one (id int PRIMARY KEY);");
    write("0002_second", "ALTER TABLE one ADD COLUMN name text; INSERT INTO one VALUES (1, 'a');");
    expect(await run()).toEqual({ applied: ["0001_first", "0002_second"] });
    expect(await run()).toEqual({ applied: [] });
    write("0003_third", "UPDATE one SET name = 'b';");
    expect(await run()).toEqual({ applied: ["0003_third"] });
    expect(await rows("SELECT * FROM one")).toEqual([{ id: 1, name: "b" }]);
  });

  it("understands functions with semicolons, comments and strings, as files contain them", async () => {
    write(
      "0001_function",
      `-- a comment; with a semicolon
       CREATE FUNCTION twice(n int) RETURNS int LANGUAGE plpgsql AS $$
       BEGIN RAISE DEBUG ';'; RETURN n * 2; END $$;`,
    );
    await run();
    expect(await rows("SELECT twice(21) AS n")).toEqual([{ n: 42 }]);
  });

  it("leaves nothing behind when a file fails, and continues after it was mended", async () => {
    write("0001_first", "CREATE TABLE one (id int);");
    write("0002_bad", "CREATE TABLE two (id int); INSERT INTO two VALUES ('no number');");
    await expect(run()).rejects.toThrow("0002_bad failed and was rolled back");
    expect(await rows("SELECT to_regclass('two') AS t")).toEqual([{ t: null }]);
    write("0002_bad", "CREATE TABLE two (id int);");
    expect(await run()).toEqual({ applied: ["0002_bad"] });
  });

  it("refuses an edited file and changes nothing", async () => {
    write("0001_first", "CREATE TABLE one (id int);");
    await run();
    write("0001_first", "CREATE TABLE one (id bigint);");
    write("0002_second", "CREATE TABLE two (id int);");
    await expect(run()).rejects.toThrow("edited after it was applied");
    expect(await rows("SELECT to_regclass('two') AS t")).toEqual([{ t: null }]);
  });

  it("lets processes that start together wait for each other", async () => {
    write("0001_first", "CREATE TABLE one (id int);");
    const runs = await Promise.all([run(), run(), run(), run()]);
    expect(runs.flatMap(({ applied }) => applied)).toEqual(["0001_first"]);
  });

  it("keeps the history the way the ORM's own tool keeps it", async () => {
    write("0001_first", "SELECT 1;");
    await run();
    expect(
      await rows(
        `SELECT migration_name, checksum, finished_at >= started_at AS finished, rolled_back_at, applied_steps_count
           FROM _prisma_migrations`,
      ),
    ).toEqual([
      {
        migration_name: "0001_first",
        checksum: createHash("sha256").update("SELECT 1;").digest("hex"),
        finished: true,
        rolled_back_at: null,
        applied_steps_count: 1,
      },
    ]);
  });

  it("gives the service a role that owns nothing and cannot step over row policies", async () => {
    write("0001_first", `CREATE TABLE one (id int); GRANT SELECT ON one TO ${appRole};`);
    await run();
    expect(await rows("SELECT * FROM one", database.appUrl)).toEqual([]);
    await expect(rows("CREATE TABLE mine (id int)", database.appUrl)).rejects.toThrow(
      "permission denied",
    );
    await expect(rows("INSERT INTO one VALUES (1)", database.appUrl)).rejects.toThrow(
      "permission denied",
    );
    expect(
      await rows(
        `SELECT rolsuper, rolbypassrls, rolcreatedb, rolcreaterole, rolcanlogin,
                pg_has_role(rolname, 'postgres', 'MEMBER') AS is_member
           FROM pg_roles WHERE rolname = '${appRole}'`,
      ),
    ).toEqual([
      {
        rolsuper: false,
        rolbypassrls: false,
        rolcreatedb: false,
        rolcreaterole: false,
        rolcanlogin: true,
        is_member: false,
      },
    ]);
  });

  it("applies this version's own migrations from nothing, and a second time nothing", async () => {
    const all = readMigrations().map(({ name }) => name);
    expect(all.length).toBeGreaterThan(0);
    expect(await migrate(database.ownerUrl, { appPassword })).toEqual({ applied: all });
    expect(await migrate(database.ownerUrl, { appPassword })).toEqual({ applied: [] });
  });
});
