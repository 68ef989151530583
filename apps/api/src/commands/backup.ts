import pg from "pg";
import { verifyArchive, type ArchiveVerdict } from "../archive/verify-archive.ts";
import type { Manifest } from "../archive/manifest.ts";
import type { Ask } from "../archive/tables.ts";
import { writeArchive } from "../archive/write-archive.ts";
import { openZip, writeZipFile } from "../archive/zip.ts";
import type { BlobStore } from "../blobs/blob-store.ts";
import type { Signer } from "../records/signer.ts";

/** What a backup is made of. */
export interface BackupOptions {
  /** Connection URL of the owner of the schema. */
  readonly ownerUrl: string;
  readonly blobs: BlobStore;
  readonly signer: Signer;
  /** The file to write. */
  readonly path: string;
  /** Epoch ms. */
  readonly nowMs: number;
}

/** Opens an archive file and checks all of it. */
export const verifyFile = async (path: string, expectedKey?: string): Promise<ArchiveVerdict> => {
  const archive = await openZip(path);
  try {
    return await verifyArchive(archive, expectedKey);
  } finally {
    archive.close();
  }
};

/**
 * Writes every row of every practice, as of one moment, and every film, photo and paper into one
 * file, while the service runs; then reads the file back and checks it.
 *
 * @throws Error when bytes are missing or the file does not hold: there is no backup then
 */
export const backUp = async (
  options: BackupOptions,
): Promise<{ readonly manifest: Manifest; readonly verdict: ArchiveVerdict }> => {
  const client = new pg.Client({ connectionString: options.ownerUrl });
  await client.connect();
  const ask: Ask = async (sql, values = []) =>
    (await client.query<Record<string, unknown>>(sql, [...values])).rows;
  try {
    await ask("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY");
    // The rows of a practice are shown to whoever works in it, the owner of the schema too.
    await ask("SELECT set_config('app.signing_in', 'on', true)");
    const practices = await ask("SELECT id FROM practices ORDER BY id");
    await ask("SELECT set_config('app.signing_in', 'off', true)");
    const migrations = await ask(
      `SELECT migration_name AS name, checksum FROM "_prisma_migrations" WHERE finished_at IS NOT NULL AND rolled_back_at IS NULL ORDER BY 1`,
    );
    const { manifest } = await writeZipFile(options.path, async (zip) => {
      const made = await writeArchive(
        {
          kind: "backup",
          practiceIds: practices.map((row) => String(row["id"])),
          nowMs: options.nowMs,
          migrations: migrations.map((row) => ({
            name: String(row["name"]),
            checksum: String(row["checksum"]),
          })),
          signer: options.signer,
          enter: async (practiceId) => {
            await ask(
              "SELECT set_config('app.practice', $1, true), set_config('app.person', '', true), set_config('app.roles', 'system', true)",
              [practiceId],
            );
          },
        },
        ask,
        options.blobs,
        zip,
      );
      if (made.missing.length > 0)
        throw new Error(
          `The store does not have, or no longer as they were: ${made.missing.join(", ")}`,
        );
      return made;
    });
    const verdict = await verifyFile(options.path, options.signer.publicKeyHex);
    return { manifest, verdict };
  } finally {
    await client.end();
  }
};
