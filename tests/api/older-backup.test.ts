import { randomUUID } from "node:crypto";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import pg from "pg";
import { afterAll, beforeAll, expect, inject, it } from "vitest";
import { folderBlobStore } from "../../apps/api/src/blobs/blob-store.ts";
import { backUp } from "../../apps/api/src/commands/backup.ts";
import { restore } from "../../apps/api/src/commands/restore.ts";
import { migrate, readMigrations } from "../../apps/api/src/database/migrate.ts";
import { createSigner } from "../../apps/api/src/records/signer.ts";
import { createEmptyDatabase, type TestDatabase } from "../support/database.ts";

const signer = createSigner("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60");
const migrations = readMigrations().map(({ name }) => name);
let folder: string;
let old: TestDatabase;
let fresh: TestDatabase;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "heelward-older-"));
  old = await createEmptyDatabase();
  fresh = await createEmptyDatabase();
});
afterAll(async () => {
  await old.drop();
  await fresh.drop();
  rmSync(folder, { recursive: true, force: true });
});

const ask = async (url: string, sql: string, values: unknown[] = []) => {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    return (await client.query<Record<string, unknown>>(sql, values)).rows;
  } finally {
    await client.end();
  }
};

it("brings a backup of the second release to the newest schema, with every row and byte of its time", async () => {
  const { appPassword } = inject("pg");
  const release = "0002_job_queue";
  await migrate(old.ownerUrl, { appPassword, upTo: release });
  const [practiceId, yardId, horseId, personId] = [
    randomUUID(),
    randomUUID(),
    randomUUID(),
    randomUUID(),
  ];
  const store = folderBlobStore(join(folder, "old"));
  const { key, sha256 } = await store.put(practiceId, Buffer.from("a paper of the second release"));
  await ask(
    old.ownerUrl,
    "INSERT INTO practices (id, name, phone, time_zone, jurisdiction) VALUES ($1, 'Old Practice', '+353 1 000 0000', 'Europe/Dublin', 'UK')",
    [practiceId],
  );
  await ask(
    old.ownerUrl,
    "INSERT INTO yards (practice_id, id, name, lat, lon, time_zone) VALUES ($1, $2, 'Old Yard', 53.2, -9, 'Europe/Dublin')",
    [practiceId, yardId],
  );
  await ask(
    old.ownerUrl,
    "INSERT INTO people (practice_id, id, name, email, roles) VALUES ($1, $2, 'Old Hand', 'old.hand@test.invalid', '{manager}')",
    [practiceId, personId],
  );
  await ask(
    old.ownerUrl,
    "INSERT INTO horses (practice_id, id, name, type, sex, yard_id) VALUES ($1, $2, 'Old Horse', 'horse', 'mare', $3)",
    [practiceId, horseId, yardId],
  );
  await ask(
    old.ownerUrl,
    `INSERT INTO documents (practice_id, id, horse_id, kind, file_name, media_type, sha256, size_bytes, blob_key, taken_at, added_by)
     VALUES ($1, $2, $3, 'document', 'paper.pdf', 'application/pdf', $4, 29, $5, '2026-01-10T09:00:00Z', $6)`,
    [practiceId, randomUUID(), horseId, sha256, key, personId],
  );
  const path = join(folder, "old.zip");
  const { manifest, verdict } = await backUp({
    ownerUrl: old.ownerUrl,
    blobs: store,
    signer,
    path,
    nowMs: Date.parse("2026-01-11T03:00:00Z"),
  });
  expect(verdict.faults).toEqual([]);
  expect(manifest.migrations.at(-1)?.name).toBe(release);

  const restored = folderBlobStore(join(folder, "restored"));
  await restore({ ownerUrl: fresh.ownerUrl, appPassword, blobs: restored, path });
  expect(
    (
      await ask(
        fresh.ownerUrl,
        `SELECT migration_name AS name FROM "_prisma_migrations" ORDER BY 1`,
      )
    )
      .map((row) => String(row["name"]))
      .toSorted(),
  ).toEqual(migrations.toSorted());
  for (const table of ["practices", "yards", "people", "horses", "documents"]) {
    // Columns that came since are empty or hold their standard; those of the time are as they were.
    // oxlint-disable no-await-in-loop
    const [before] = await ask(old.ownerUrl, `SELECT to_jsonb(t) AS row FROM ${table} t`);
    const [after] = await ask(fresh.ownerUrl, `SELECT to_jsonb(t) AS row FROM ${table} t`);
    // oxlint-enable no-await-in-loop
    expect(after?.["row"], table).toMatchObject(before?.["row"] as object);
  }
  expect(Buffer.from(await restored.get(key)).toString()).toBe("a paper of the second release");
  const again = await backUp({
    ownerUrl: fresh.ownerUrl,
    blobs: restored,
    signer,
    path: join(folder, "new.zip"),
    nowMs: Date.parse("2026-11-25T03:00:00Z"),
  });
  expect(again.verdict.faults).toEqual([]);
  expect(again.manifest.migrations.at(-1)?.name).toBe(migrations.toSorted().at(-1));
}, 120_000);
