import type { BlobStore } from "../blobs/blob-store.ts";
import { canonicalText, sha256Hex } from "../records/canonical.ts";
import type { Signer } from "../records/signer.ts";
import { describeFile, sealManifest, type Manifest } from "./manifest.ts";
import {
  OF_THE_INSTALLATION,
  quoted,
  readTables,
  SECRETS,
  type Ask,
  type Table,
} from "./tables.ts";
import type { ArchiveWriter } from "./zip.ts";

type Row = Readonly<Record<string, unknown>>;

/** What an archive is made of. */
export interface ArchiveOrder {
  readonly kind: Manifest["kind"];
  /** Which practice's rows; all of them for a backup. */
  readonly practiceIds: readonly string[];
  /** The one case, for an archive of a case. */
  readonly of?: { readonly caseId: string; readonly horseId: string };
  /** Epoch ms. */
  readonly nowMs: number;
  readonly migrations: Manifest["migrations"];
  readonly signer: Signer;
  /** Narrows the transaction to one practice, where row-level security binds. */
  readonly enter: (practiceId: string) => Promise<void>;
}

const ROWS_AT_ONCE = 2000;
const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/u;
const BLOB = /[0-9a-f-]{36}\/[0-9a-f]{2}\/[0-9a-f]{64}/gu;

/** Where a blob lies inside an archive. */
export const blobPath = (key: string): string => `blobs/${key}`;

const withoutSecrets = (table: string, row: Row): Row => {
  const hidden = SECRETS[table];
  if (hidden === undefined) return row;
  return Object.fromEntries(
    Object.entries(row).map(([column, value]) => [
      column,
      hidden[column] === undefined || value === null ? value : hidden[column](String(row["id"])),
    ]),
  );
};

/** Which rows of a table belong to one case: those of the horse, unless they are of another of its cases. */
const ofCase = (table: Table, tables: readonly Table[]): string | null => {
  const has = (name: string, column: string): boolean =>
    tables.some((one) => one.name === name && one.columns.includes(column));
  if (table.name === "practices" || table.name === "signing_keys") return "true";
  if (table.name === "horses") return "t.id = $2::uuid";
  if (table.name === "cases") return "t.id = $1::uuid AND t.horse_id = $2::uuid";
  if (table.name === "yards")
    return "t.id IN (SELECT h.yard_id FROM horses h WHERE h.practice_id = t.practice_id AND h.id = $2::uuid)";
  if (!table.columns.includes("horse_id")) return null;
  if (table.columns.includes("case_id"))
    return "t.horse_id = $2::uuid AND (t.case_id = $1::uuid OR t.case_id IS NULL)";
  const ofOtherCases = table.parents
    .filter((parent) => has(parent.table, "case_id") && has(parent.table, "id"))
    .map(
      (parent) =>
        `NOT EXISTS (SELECT 1 FROM ${quoted(parent.table)} p WHERE p.practice_id = t.practice_id AND p.id = t.${quoted(parent.column)} AND p.case_id <> $1::uuid)`,
    );
  return ["t.horse_id = $2::uuid", ...ofOtherCases].join(" AND ");
};

/** The condition with the ids in their places; a statement must use every parameter it is given. */
const about = (where: string, of: NonNullable<ArchiveOrder["of"]>): string => {
  if (!UUID.test(of.caseId) || !UUID.test(of.horseId)) throw new Error("not an id");
  return where
    .replaceAll("$1::uuid", `'${of.caseId}'::uuid`)
    .replaceAll("$2::uuid", `'${of.horseId}'::uuid`);
};

/** People of a case are named, with what they may sign; how to reach them is not part of it. */
const NAMED = ["practice_id", "id", "name", "roles", "registration_number"] as const;
const justNamed = (row: Row): Row =>
  Object.fromEntries(NAMED.map((column) => [column, row[column]]));

/** Bytes of the store that belong into an archive, and under which path. */
interface Kept {
  readonly path: string;
  readonly key: string;
}

const EXTENSIONS: Readonly<Record<string, string>> = {
  "application/dicom": "dcm",
  "application/pdf": "pdf",
  "image/jpeg": "jpg",
  "image/png": "png",
};

/** In an archive of a case, films and papers as they came, under names a person can read. */
const originalsIn = (table: string, row: Row): readonly Kept[] => {
  const folder =
    table === "radiographs" ? "films" : table === "documents" ? "documents" : undefined;
  if (folder === undefined || typeof row["blob_key"] !== "string") return [];
  const words = folder === "films" ? [row["foot"], row["view"]] : [row["kind"]];
  const name = [String(row[folder === "films" ? "taken_at" : "created_at"]).slice(0, 10), ...words]
    .map((word) =>
      String(word)
        .toLowerCase()
        .replaceAll(/[^a-z0-9]+/gu, "-"),
    )
    .join("_");
  const extension = EXTENSIONS[String(row["media_type"])] ?? "bin";
  return [{ path: `${folder}/${name}_${String(row["id"])}.${extension}`, key: row["blob_key"] }];
};

/** What was read of the rows, before the bytes they speak of are fetched. */
export interface Gathered {
  readonly tables: Manifest["tables"];
  readonly practices: Manifest["practices"];
  readonly kept: readonly Kept[];
}

/** Takes one file of the archive; ends when there is room for the next. */
export type AddFile = (path: string, bytes: Uint8Array) => Promise<void>;

/**
 * Reads the rows of an archive, as canonical JSON (RFC 8785), one row a line, in the order of their
 * keys. Everything is read in the transaction `ask` belongs to.
 */
export const gatherRows = async (
  order: ArchiveOrder,
  ask: Ask,
  add: AddFile,
): Promise<Gathered> => {
  const { kind, of } = order;
  const kept = new Map<string, Kept>();
  const named = new Set<string>();
  const tables: Manifest["tables"] = [];

  const lineOf = (table: Table, text: string): string => {
    const row = JSON.parse(text) as Row;
    if (of === undefined)
      for (const [key] of text.matchAll(BLOB)) kept.set(key, { path: blobPath(key), key });
    else {
      for (const one of originalsIn(table.name, row)) kept.set(one.path, one);
      for (const value of Object.values(row))
        if (typeof value === "string" && UUID.test(value)) named.add(value);
    }
    if (of !== undefined && table.name === "people") return canonicalText(justNamed(row));
    return canonicalText(kind === "backup" ? row : withoutSecrets(table.name, row));
  };
  const write = async (table: Table, where: string, values: readonly unknown[]): Promise<void> => {
    const files: string[] = [];
    let rows = 0;
    const cursor = quoted(`archive_of_${table.name}`);
    const own = table.name === "practices" ? "t.id" : "t.practice_id";
    const by = table.key.map((column) => `t.${quoted(column)}`).join(", ");
    for (const practiceId of order.practiceIds) {
      // One transaction, statement by statement.
      // oxlint-disable no-await-in-loop
      await order.enter(practiceId);
      await ask(
        `DECLARE ${cursor} NO SCROLL CURSOR FOR SELECT to_jsonb(t)::text AS row FROM ${quoted(table.name)} t WHERE ${own} = $${values.length + 1}::uuid AND (${where}) ORDER BY ${by}`,
        [...values, practiceId],
      );
      for (;;) {
        const found = await ask(`FETCH ${ROWS_AT_ONCE} FROM ${cursor}`);
        if (found.length === 0) break;
        const path = `tables/${table.name}/${String(files.length + 1).padStart(5, "0")}.jsonl`;
        const lines = found.map(({ row }) => `${lineOf(table, String(row))}\n`);
        await add(path, Buffer.from(lines.join(""), "utf8"));
        files.push(path);
        rows += lines.length;
      }
      await ask(`CLOSE ${cursor}`);
      // oxlint-enable no-await-in-loop
    }
    tables.push({ name: table.name, rows, files });
  };

  const all = await readTables(ask);
  for (const table of all) {
    if (kind !== "backup" && OF_THE_INSTALLATION.has(table.name)) continue;
    if (of !== undefined && table.name === "people") continue;
    const where = of === undefined ? "true" : ofCase(table, all);
    // oxlint-disable-next-line no-await-in-loop
    if (where !== null) await write(table, of === undefined ? where : about(where, of), []);
  }
  const people = all.find((table) => table.name === "people");
  if (of !== undefined && people !== undefined)
    await write(people, "t.id = ANY ($1::uuid[])", [[...named]]);

  const practices: Manifest["practices"] = [];
  for (const id of order.practiceIds) {
    // oxlint-disable-next-line no-await-in-loop
    await order.enter(id);
    // oxlint-disable-next-line no-await-in-loop
    const [head] = await ask(
      "SELECT sequence::text, hash FROM audit_heads WHERE practice_id = $1::uuid",
      [id],
    );
    const at =
      head === undefined
        ? null
        : { sequence: Number(head["sequence"]), hash: String(head["hash"]) };
    practices.push({ id, head: at });
  }
  return { tables, practices, kept: [...kept.values()] };
};

/**
 * Adds the bytes that the rows speak of, then the list of everything and its signature. What the
 * store keeps under a key never changes, so this may come after the transaction.
 *
 * @param files what was added so far
 * @returns the list, and the keys the store does not have, or no longer as they were
 */
export const packBytes = async (
  order: ArchiveOrder,
  gathered: Gathered,
  files: readonly Manifest["files"][number][],
  blobs: BlobStore,
  add: AddFile,
): Promise<{ readonly manifest: Manifest; readonly missing: readonly string[] }> => {
  const missing: string[] = [];
  const packed: Manifest["files"] = [];
  for (const { path, key } of gathered.kept) {
    // One film at a time: they are large.
    // oxlint-disable-next-line no-await-in-loop
    const bytes = await blobs.get(key).catch(() => undefined);
    if (bytes === undefined || sha256Hex(bytes) !== key.slice(-64)) {
      missing.push(key);
      continue;
    }
    packed.push(describeFile(path, bytes));
    // oxlint-disable-next-line no-await-in-loop
    await add(path, bytes);
  }
  const manifest: Manifest = {
    format: "heelward archive",
    version: 1,
    kind: order.kind,
    madeAt: new Date(order.nowMs).toISOString(),
    caseId: order.of?.caseId ?? null,
    horseId: order.of?.horseId ?? null,
    migrations: order.migrations,
    practices: gathered.practices,
    tables: gathered.tables.toSorted((a, b) => (a.name < b.name ? -1 : 1)),
    files: [...files, ...packed].toSorted((a, b) => (a.path < b.path ? -1 : 1)),
  };
  for (const { path, bytes } of sealManifest(manifest, order.signer))
    // oxlint-disable-next-line no-await-in-loop
    await add(path, bytes);
  return { manifest, missing };
};

/** Both at once, for whoever may keep the transaction open that long. */
export const writeArchive = async (
  order: ArchiveOrder,
  ask: Ask,
  blobs: BlobStore,
  zip: ArchiveWriter,
): Promise<{ readonly manifest: Manifest; readonly missing: readonly string[] }> => {
  const files: Manifest["files"] = [];
  const gathered = await gatherRows(order, ask, async (path, bytes) => {
    files.push(describeFile(path, bytes));
    await zip.add(path, bytes);
  });
  return packBytes(order, gathered, files, blobs, zip.add);
};
