import pg from "pg";
import type { Manifest } from "../archive/manifest.ts";
import { RestoreRefused, restoreBlobs, restoreRows } from "../archive/restore-archive.ts";
import { verifyArchive } from "../archive/verify-archive.ts";
import { openZip } from "../archive/zip.ts";
import type { BlobStore } from "../blobs/blob-store.ts";
import { migrate, readMigrations } from "../database/migrate.ts";

/** Where an archive is put back. */
export interface RestoreOptions {
  /** Connection URL of the owner of an empty database. */
  readonly ownerUrl: string;
  /** Password the service's role gets; without it the role must exist. */
  readonly appPassword?: string;
  readonly blobs: BlobStore;
  /** The archive file: a backup, or an open export of a practice. */
  readonly path: string;
}

/**
 * Puts a backup or an open export of a practice into an empty database: first the check of the whole
 * archive, then the schema of its time, its bytes, its rows in one transaction, and last every
 * migration that has come since.
 *
 * @throws RestoreRefused when the archive does not hold, is of one case, is newer than this version, or
 *   there are rows already
 */
export const restore = async (options: RestoreOptions): Promise<Manifest> => {
  const archive = await openZip(options.path);
  try {
    const { isWhole, faults, manifest } = await verifyArchive(archive);
    if (!isWhole || manifest === null)
      throw new RestoreRefused(`The archive does not hold:\n  ${faults.join("\n  ")}`);
    if (manifest.kind === "case")
      throw new RestoreRefused("This is the archive of one case. It is for reading and proving.");
    const last = manifest.migrations.at(-1)?.name ?? "";
    const known = new Map(readMigrations().map(({ name, checksum }) => [name, checksum]));
    for (const { name, checksum } of manifest.migrations)
      if (known.get(name) !== checksum)
        throw new RestoreRefused(
          `The archive was written by another version (${name}). Restore it with a version at least as new.`,
        );
    const password = options.appPassword === undefined ? {} : { appPassword: options.appPassword };
    await migrate(options.ownerUrl, { ...password, upTo: last });
    await restoreBlobs(archive, manifest, options.blobs);
    const client = new pg.Client({ connectionString: options.ownerUrl });
    await client.connect();
    try {
      await restoreRows(client, archive, manifest);
    } finally {
      await client.end();
    }
    await migrate(options.ownerUrl, password);
    return manifest;
  } finally {
    archive.close();
  }
};
