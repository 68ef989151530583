// Everything here is one transaction or one large file after the other.
// oxlint-disable no-await-in-loop
import type pg from "pg";
import type { BlobStore } from "../blobs/blob-store.ts";
import { blobPath } from "./write-archive.ts";
import type { Manifest } from "./manifest.ts";
import { quoted, readTables, type Ask } from "./tables.ts";
import type { ArchiveReader } from "./zip.ts";

/** A reason not to restore here. The message says what to do. */
export class RestoreRefused extends Error {
  override readonly name = "RestoreRefused";
}

const ROWS_AT_ONCE = 500;

const askOf =
  (client: pg.Client): Ask =>
  async (sql, values = []) =>
    (await client.query<Record<string, unknown>>(sql, [...values])).rows;

/**
 * Puts the rows of an archive into an empty database that has the archive's schema, in one
 * transaction: all of them, or none. Links between rows are checked when all rows are there.
 *
 * @param client connected as the owner of the schema
 * @throws RestoreRefused when there are rows already
 */
export const restoreRows = async (
  client: pg.Client,
  archive: ArchiveReader,
  manifest: Manifest,
): Promise<void> => {
  const ask = askOf(client);
  await ask("BEGIN");
  try {
    const tables = await readTables(ask);
    const known = new Map(tables.map((table) => [table.name, table]));
    // For this transaction the owner is bound neither by the row policies nor by the links.
    for (const { name } of tables)
      await ask(`ALTER TABLE ${quoted(name)} NO FORCE ROW LEVEL SECURITY`);
    for (const { name } of tables) {
      const [row] = await ask(`SELECT EXISTS (SELECT 1 FROM ${quoted(name)}) AS has`);
      if (row?.["has"] === true)
        throw new RestoreRefused(
          `There are rows in ${name} already. Restore into an empty database only.`,
        );
    }
    const links = await ask(`
      SELECT conrelid::regclass::text AS table, quote_ident(conname) AS name, pg_get_constraintdef(oid) AS rule
      FROM pg_constraint WHERE contype = 'f' AND connamespace = 'public'::regnamespace`);
    for (const link of links)
      await ask(`ALTER TABLE ${String(link["table"])} DROP CONSTRAINT ${String(link["name"])}`);
    for (const { name, files } of manifest.tables) {
      const table = known.get(name);
      if (table === undefined) throw new RestoreRefused(`This version knows no table ${name}.`);
      const columns = table.columns.map(quoted).join(", ");
      for (const path of files) {
        const lines = (await archive.read(path)).toString("utf8").split("\n").slice(0, -1);
        for (let at = 0; at < lines.length; at += ROWS_AT_ONCE)
          await ask(
            `INSERT INTO ${quoted(name)} (${columns}) SELECT ${columns} FROM jsonb_populate_recordset(NULL::${quoted(name)}, $1::jsonb)`,
            [`[${lines.slice(at, at + ROWS_AT_ONCE).join(",")}]`],
          );
      }
    }
    for (const link of links)
      await ask(
        `ALTER TABLE ${String(link["table"])} ADD CONSTRAINT ${String(link["name"])} ${String(link["rule"])}`,
      );
    for (const { name } of tables)
      await ask(`ALTER TABLE ${quoted(name)} FORCE ROW LEVEL SECURITY`);
    await ask("COMMIT");
  } catch (error) {
    await ask("ROLLBACK");
    throw error;
  }
};

/** Puts the bytes of an archive into a store. Comes before the rows, so that no row lacks its bytes. */
export const restoreBlobs = async (
  archive: ArchiveReader,
  manifest: Manifest,
  blobs: BlobStore,
): Promise<number> => {
  const start = blobPath("");
  const paths = manifest.files.map((file) => file.path).filter((path) => path.startsWith(start));
  for (const path of paths) {
    const key = path.slice(start.length);
    // One film at a time: they are large.
    const stored = await blobs.put(key.slice(0, key.indexOf("/")), await archive.read(path));
    if (stored.key !== key) throw new Error(`${path} does not hold what its name says`);
  }
  return paths.length;
};
