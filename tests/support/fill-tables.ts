import { randomUUID } from "node:crypto";

type Query = (sql: string, values?: unknown[]) => Promise<Record<string, unknown>[]>;

/** A horse of a practice, and the people around it. Rows are made about it, and by its vet. */
export interface Place {
  readonly practiceId: string;
  readonly horseId: string;
  readonly yardId: string;
  readonly vetId: string;
}

/** Id of the row made in a table about a place. */
export type Rows = ReadonlyMap<string, string>;

interface Column {
  readonly table: string;
  readonly column: string;
  readonly type: string;
  readonly isNullable: boolean;
  readonly hasDefault: boolean;
}
interface ForeignKey {
  readonly table: string;
  readonly column: string;
  readonly target: string;
}

/** Tables that hold the world itself, and those the service writes beside others. */
const WORLD = [
  "practices",
  "people",
  "yards",
  "yard_people",
  "horses",
  "horse_people",
  "sessions",
  "audit_heads",
  "audit_entries",
  "idempotency_keys",
];

/** Contents that a reader of the row expects to find in a document column. */
const DOCUMENTS: Readonly<Record<string, unknown>> = {
  "prescriptions.feet": [],
  "prescriptions.conditions": {},
  "radiographs.film": {
    format: "png",
    photometric: "MONOCHROME2",
    tags: {},
    warnings: [],
  },
  "radiographs.scale": { kind: "none" },
  "medication_courses.steps": [],
  "movement_ladders.stages": [],
  "shoeing_records.feet": [],
};

const FIXED: Readonly<Record<string, unknown>> = {
  "medication_courses.drug_key": "phenylbutazone",
  "medication_courses.time_zone": "Europe/Dublin",
  "film_outlines.kind": "note",
  "practice_closures.on_date": "2026-12-25",
};

const allowedIn = (check: string, column: string): string | undefined =>
  new RegExp(`\\(?${column}\\)? = ANY \\(\\(?ARRAY\\['([^']*)'`, "u").exec(check)?.[1] ??
  new RegExp(`\\(?${column}\\)? = '([^']*)'`, "u").exec(check)?.[1];

const valueFor = (
  { table, column, type }: Column,
  checks: readonly string[],
  salt: string,
): unknown => {
  const name = `${table}.${column}`;
  if (name in FIXED) return FIXED[name];
  if (type === "jsonb" || type === "json") return JSON.stringify(DOCUMENTS[name] ?? {});
  if (type === "text") {
    const one = checks
      .map((check) => allowedIn(check, column))
      .find((found) => found !== undefined);
    return one ?? `${column} ${salt}`;
  }
  if (type === "uuid") return randomUUID();
  if (type === "bool") return false;
  if (type === "date") return "2026-10-14";
  if (type.startsWith("timestamp")) return "2026-10-14T06:00:00Z";
  if (type.startsWith("_")) return "{}";
  return 1;
};

/**
 * One row in every table about each of the places, made from what the database says of its tables, so
 * that a table somebody adds is filled without a word here. Checks that tie several columns together
 * are lifted first: this is about who sees a row, not about what stands in it.
 */
export const fillTables = async (
  query: Query,
  places: readonly Place[],
): Promise<ReadonlyMap<Place, Rows>> => {
  const columns = (await query(`
    SELECT c.relname AS table, a.attname AS column, t.typname AS type, NOT a.attnotnull AS "isNullable", a.atthasdef AS "hasDefault"
    FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum > 0 AND NOT a.attisdropped JOIN pg_type t ON t.oid = a.atttypid
    WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'p') AND c.relname <> '_prisma_migrations'`)) as unknown as Column[];
  const keys = (await query(`
    SELECT c.conrelid::regclass::text AS table, a.attname AS column, c.confrelid::regclass::text AS target
    FROM pg_constraint c JOIN pg_attribute a ON a.attrelid = c.conrelid AND a.attnum = c.conkey[array_upper(c.conkey, 1)]
    WHERE c.contype = 'f' AND c.connamespace = 'public'::regnamespace`)) as unknown as ForeignKey[];
  const checkRows = (await query(`
    SELECT conrelid::regclass::text AS table, pg_get_constraintdef(oid) AS definition FROM pg_constraint WHERE contype = 'c' AND connamespace = 'public'::regnamespace`)) as unknown as {
    table: string;
    definition: string;
  }[];
  const ties = await query(`
    SELECT conrelid::regclass::text AS table, conname AS name FROM pg_constraint
    WHERE contype = 'c' AND connamespace = 'public'::regnamespace AND array_length(conkey, 1) > 1`);
  for (const { table, name } of ties)
    // oxlint-disable-next-line no-await-in-loop
    await query(`ALTER TABLE ${String(table)} DROP CONSTRAINT "${String(name)}"`);
  const tables = [...new Set(columns.map((one) => one.table))].filter(
    (table) => !WORLD.includes(table),
  );
  const targetOf = (table: string, column: string) =>
    keys.find((key) => key.table === table && key.column === column && column !== "practice_id")
      ?.target;
  const needs = (table: string): readonly string[] =>
    columns
      .filter((one) => one.table === table && isGiven(one))
      .map((one) => targetOf(table, one.column))
      .filter((target): target is string => target !== undefined && tables.includes(target));
  // A horse and its case are named wherever they can be; other rows only where the table insists.
  const isGiven = (one: Column): boolean =>
    one.column === "case_id" || one.column === "horse_id" || (!one.isNullable && !one.hasDefault);

  const made = new Map(places.map((place) => [place, new Map<string, string>()]));
  const order: string[] = [];
  const visit = (table: string): void => {
    if (order.includes(table)) return;
    for (const needed of needs(table)) if (needed !== table) visit(needed);
    order.push(table);
  };
  for (const table of tables) visit(table);

  let turn = 0;
  for (const table of order)
    for (const place of places) {
      turn += 1;
      const rows = made.get(place) ?? new Map<string, string>();
      const id = randomUUID();
      const checks = checkRows
        .filter((check) => check.table === table)
        .map((check) => check.definition);
      const given = columns
        .filter((one) => one.table === table && (isGiven(one) || one.column === "id"))
        .map((one): [string, unknown] => {
          if (one.column === "practice_id") return [one.column, place.practiceId];
          if (one.column === "id") return [one.column, id];
          if (one.column === "horse_id") return [one.column, place.horseId];
          const target = targetOf(table, one.column);
          if (target === "people") return [one.column, place.vetId];
          if (target === "yards") return [one.column, place.yardId];
          if (target === "horses") return [one.column, place.horseId];
          if (target !== undefined) return [one.column, rows.get(target) ?? randomUUID()];
          if (one.type === "int4" && one.column === "number") return [one.column, turn];
          return [one.column, valueFor(one, checks, String(turn))];
        });
      // Rows refer to rows of tables before.
      // oxlint-disable-next-line no-await-in-loop
      await query(
        `INSERT INTO ${table} (${given.map(([name]) => name).join(", ")}) VALUES (${given.map((_, at) => `$${at + 1}`).join(", ")}) ON CONFLICT DO NOTHING`,
        given.map(([, value]) => value),
      );
      rows.set(table, id);
    }
  return made;
};
