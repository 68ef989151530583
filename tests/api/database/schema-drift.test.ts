import { readFileSync } from "node:fs";
import { join } from "node:path";
import pg from "pg";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { repositoryFolder } from "../../../apps/api/src/database/files.ts";
import { appRole } from "../../../apps/api/src/database/migrate.ts";
import { createTestDatabase, type TestDatabase } from "../../support/database.ts";
import { parseModels, type Model } from "./schema-models.ts";

const models = parseModels(readFileSync(join(repositoryFolder, "prisma/schema.prisma"), "utf8"));

// What the server itself says about its tables.
const catalogue = `
  SELECT c.relname AS table,
         json_agg(json_build_object(
           'column', a.attname,
           'type', CASE WHEN t.typelem <> 0 AND t.typcategory = 'A'
                        THEN (SELECT typname FROM pg_type WHERE oid = t.typelem)
                          || CASE WHEN a.atttypmod >= 0 THEN '(' || a.atttypmod || ')' ELSE '' END || '[]'
                        ELSE t.typname
                          || CASE WHEN a.atttypmod >= 0 THEN '(' || a.atttypmod || ')' ELSE '' END END,
           'isNullable', NOT a.attnotnull) ORDER BY a.attname) AS columns,
         (SELECT coalesce(json_agg(k.attname ORDER BY p.position), '[]')
            FROM pg_constraint pk, unnest(pk.conkey) WITH ORDINALITY p(number, position), pg_attribute k
           WHERE pk.conrelid = c.oid AND pk.contype = 'p' AND k.attrelid = c.oid AND k.attnum = p.number) AS key
    FROM pg_class c
    JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum > 0 AND NOT a.attisdropped
    JOIN pg_type t ON t.oid = a.atttypid
   WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'p') AND c.relname <> '_prisma_migrations'
   GROUP BY c.oid, c.relname`;

describe("the migrations make what the schema describes", () => {
  let database: TestDatabase;
  let client: pg.Client;
  let tables: ReadonlyMap<string, Model>;

  beforeAll(async () => {
    database = await createTestDatabase();
    client = new pg.Client({ connectionString: database.ownerUrl });
    await client.connect();
    const { rows } = await client.query<Model>(catalogue);
    tables = new Map(rows.map((row) => [row.table, row]));
  });
  afterAll(async () => {
    await client.end();
    await database.drop();
  });

  it("the same tables, none forgotten on either side", () => {
    expect([...tables.keys()].toSorted()).toEqual(models.map(({ table }) => table).toSorted());
  });

  it.each(models.map((model) => [model.table, model] as const))(
    "%s has the same columns, types and key",
    (name, model) => {
      const made = tables.get(name);
      expect(made?.columns).toEqual(
        model.columns.toSorted((a, b) => (a.column < b.column ? -1 : 1)),
      );
      expect(made?.key).toEqual(model.key);
    },
  );

  it("every table is under row-level security, for its owner too, and has a policy", async () => {
    const { rows } = await client.query<{ table: string }>(
      `SELECT c.relname AS table FROM pg_class c
        WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'p') AND c.relname <> '_prisma_migrations'
          AND NOT (c.relrowsecurity AND c.relforcerowsecurity
                   AND EXISTS (SELECT 1 FROM pg_policy WHERE polrelid = c.oid))`,
    );
    expect(rows).toEqual([]);
  });

  it("the service's role owns nothing and may not TRUNCATE, whatever a migration grants", async () => {
    const { rows } = await client.query<{ table: string }>(
      `SELECT c.relname AS table FROM pg_class c
        WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'p')
          AND (pg_get_userbyid(c.relowner) = $1 OR has_table_privilege($1, c.oid, 'TRUNCATE'))`,
      [appRole],
    );
    expect(rows).toEqual([]);
  });

  it("every table but those named leads its key with the practice, so that it can be sharded by it", () => {
    const exceptions = ["practices"];
    const others = models
      .filter(({ table, key }) => !exceptions.includes(table) && key[0] !== "practice_id")
      .map(({ table }) => table);
    expect(others).toEqual([]);
  });
});

describe("the reader of the schema", () => {
  it("understands names, types, nullability and keys", () => {
    const [model] = parseModels(
      `model Visit {\n  practiceId String @db.Uuid @map("practice_id")\n  no Int\n  at DateTime? @db.Timestamptz(3) // when\n  tags String[]\n\n  @@id([practiceId, no])\n  @@map("visits")\n}\n`,
    );
    expect(model).toEqual({
      table: "visits",
      columns: [
        { column: "practice_id", type: "uuid", isNullable: false },
        { column: "no", type: "int4", isNullable: false },
        { column: "at", type: "timestamptz(3)", isNullable: true },
        { column: "tags", type: "text[]", isNullable: false },
      ],
      key: ["practice_id", "no"],
    });
  });

  it("stops at what it does not know instead of passing over it", () => {
    expect(() => parseModels("model A {\n  x Unknown\n}\n")).toThrow("no entry");
    expect(() => parseModels("model A {\n  ???\n}\n")).toThrow("not understood");
  });
});
