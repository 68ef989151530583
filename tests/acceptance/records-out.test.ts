import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, inject, it } from "vitest";
import sharp from "sharp";
import yazl from "yazl";
import { buffer } from "node:stream/consumers";
import { verifyArchive } from "../../apps/api/src/archive/verify-archive.ts";
import { openZip } from "../../apps/api/src/archive/zip.ts";
import { folderBlobStore } from "../../apps/api/src/blobs/blob-store.ts";
import { backUp, verifyFile } from "../../apps/api/src/commands/backup.ts";
import { restore } from "../../apps/api/src/commands/restore.ts";
import { createSigner } from "../../apps/api/src/records/signer.ts";
import { createEmptyDatabase, type TestDatabase } from "../support/database.ts";
import { BUTE_SACHETS, courseOf, signedCourse, weighedBefore } from "../support/medicine.ts";
import { startTestService, type TestService } from "../support/service.ts";
import { uploadPhoto } from "../support/uploads.ts";

const SEED = "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60";
const signer = createSigner(SEED);

let service: TestService;
let caseId: string;
let folder: string;
let blobs: string;
const databases: TestDatabase[] = [];

const download = async (path: string): Promise<Buffer> => {
  const answer = await service.manager.get(path).responseType("blob");
  expect(answer.status).toBe(200);
  return answer.body as Buffer;
};

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "heelward-records-"));
  blobs = join(folder, "restored");
  service = await startTestService();
  const { vet, horseId } = service;
  await service.query("UPDATE horses SET food_chain = 'excluded'");
  await weighedBefore(service, horseId, 500, "2026-10-13T08:00:00+01:00");
  const opened = await vet.send("post", "/cases", { horseId, phase: "acute" });
  caseId = (opened.body as { id: string }).id;
  await signedCourse(
    vet,
    horseId,
    courseOf(...BUTE_SACHETS, "2026-10-14", [{ toDay: 30, doseMg: 1000, timesLocal: ["20:00"] }]),
  );
  const picture = sharp({
    create: { width: 8, height: 8, channels: 3, background: { r: 120, g: 90, b: 60 } },
  });
  const photo = await uploadPhoto(service, horseId, await picture.png().toBuffer());
  if (photo.status !== 201) throw new Error(photo.text);
});
afterAll(async () => {
  await service.close();
  for (const database of databases)
    // One after the other on one server.
    // oxlint-disable-next-line no-await-in-loop
    await database.drop();
  rmSync(folder, { recursive: true, force: true });
});

const emptyDatabase = async (): Promise<TestDatabase> => {
  const database = await createEmptyDatabase();
  databases.push(database);
  return database;
};

describe("everything a practice has can be taken out", () => {
  it("restores a full export into an empty copy that gives the same export again", async () => {
    const path = join(folder, "practice.zip");
    writeFileSync(path, await download("/practice/archive"));
    const verdict = await verifyFile(path, signer.publicKeyHex);
    expect(verdict.faults).toEqual([]);
    expect(verdict.counts.sealedRows).toBeGreaterThan(5);
    const { ownerUrl } = await emptyDatabase();
    const store = folderBlobStore(blobs);
    const { appPassword } = inject("pg");
    const manifest = await restore({ ownerUrl, appPassword, blobs: store, path });
    const again = await backUp({
      ownerUrl,
      blobs: store,
      signer,
      path: join(folder, "copy.zip"),
      nowMs: service.now(),
    });
    expect(again.verdict.faults).toEqual([]);
    const rowsAndBytes = manifest.files.filter((file) => /^(?:tables|blobs)\//u.test(file.path));
    expect(rowsAndBytes.some((file) => file.path.startsWith("blobs/"))).toBe(true);
    expect(again.manifest.files).toEqual(expect.arrayContaining(rowsAndBytes));
    await expect(restore({ ownerUrl, appPassword, blobs: store, path })).rejects.toThrow("rows in");
  });

  it("backs up the whole service and restores it to the same rows, bytes and log", async () => {
    const path = join(folder, "backup.zip");
    const source = folderBlobStore(service.blobFolder);
    const first = await backUp({
      ownerUrl: service.ownerUrl,
      blobs: source,
      signer,
      path,
      nowMs: service.now(),
    });
    expect(first.verdict.faults).toEqual([]);
    const tables = (await service.query(
      "SELECT relname::text AS name FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'r' AND relname <> '_prisma_migrations'",
    )) as { name: string }[];
    // Seen past row-level security: nothing is hidden from a backup.
    for (const { name } of tables) {
      // oxlint-disable-next-line no-await-in-loop
      const [row] = await service.query(`SELECT count(*)::int AS n FROM ${name}`);
      expect(first.manifest.tables.find((table) => table.name === name)?.rows, name).toBe(
        row?.["n"],
      );
    }
    const { ownerUrl } = await emptyDatabase();
    const store = folderBlobStore(join(folder, "again"));
    await restore({ ownerUrl, appPassword: inject("pg").appPassword, blobs: store, path });
    const second = await backUp({
      ownerUrl,
      blobs: store,
      signer,
      path: join(folder, "second.zip"),
      nowMs: service.now(),
    });
    expect(second.manifest.files).toEqual(first.manifest.files);
    expect(readFileSync(join(folder, "second.zip"))).toEqual(readFileSync(path));
  });
});

describe("a case as one archive", () => {
  it("holds the rows, the films and papers as they came, the signatures, the keys and the log, and proves itself offline", async () => {
    const bytes = await download(`/cases/${caseId}/archive`);
    const archive = await openZip(bytes);
    const verdict = await verifyArchive(archive, signer.publicKeyHex);
    expect(verdict.faults).toEqual([]);
    expect(verdict.counts.signatures).toBeGreaterThan(0);
    expect(verdict.counts.entries).toBeGreaterThan(2);
    expect(archive.paths).toEqual(
      expect.arrayContaining(["case.json", "README.txt", "manifest.json"]),
    );
    expect(archive.paths.some((path) => /^documents\/.*\.jpg$/u.test(path))).toBe(true);
    const people = (await archive.read("tables/people/00001.jsonl")).toString("utf8");
    expect(people).toContain("Vera Vet");
    expect(people).not.toContain("@test.invalid");
    for (const person of [service.farrier, service.carer, service.owner])
      // oxlint-disable-next-line no-await-in-loop
      expect((await person.get(`/cases/${caseId}/archive`)).status).toBe(403);
  });

  it("shows any altered, removed or re-ordered row, even when every hash is made anew", async () => {
    const bytes = await download(`/cases/${caseId}/archive`);
    const archive = await openZip(bytes);
    const repacked = async (change: (path: string, text: string) => string | null) => {
      const zip = new yazl.ZipFile();
      for (const path of archive.paths) {
        // oxlint-disable-next-line no-await-in-loop
        const content = await archive.read(path);
        const next = path.startsWith("tables/") ? change(path, content.toString("utf8")) : null;
        if (next !== "") zip.addBuffer(next === null ? content : Buffer.from(next), path);
      }
      zip.end();
      return verifyArchive(await openZip(await buffer(zip.outputStream)));
    };
    expect((await repacked(() => null)).isWhole).toBe(true);
    const altered = await repacked((path, text) =>
      path.includes("/weighings/") ? text.replace(/"weight_kg":\d+/u, '"weight_kg":1') : null,
    );
    const removed = await repacked((path) => (path.includes("/cases/") ? "" : null));
    const reordered = await repacked((path, text) =>
      path.includes("/audit_entries/")
        ? `${text.trimEnd().split("\n").toReversed().join("\n")}\n`
        : null,
    );
    expect([altered.isWhole, removed.isWhole, reordered.isWhole]).toEqual([false, false, false]);
  });
});

describe("the audit trail as a file", () => {
  it("keeps old value, author and time of an edit in both forms", async () => {
    const { body: before } = await service.manager.get(`/people/${service.carer.id}`);
    const edited = await service.manager.send(
      "patch",
      `/people/${service.carer.id}`,
      { phone: "+353 1 000 0099" },
      before.version,
    );
    expect(edited.status).toBe(200);
    const lines = (await download("/audit/lines"))
      .toString("utf8")
      .trimEnd()
      .split("\n")
      .map((line) => JSON.parse(line) as { actorName: string; entry: Record<string, unknown> });
    const change = lines.find(({ entry }) => entry["event"] === "person.changed");
    expect(change).toMatchObject({
      actorName: "Mona Manager",
      entry: {
        actorId: service.manager.id,
        at: new Date(service.now()).toISOString(),
        payload: { before: { phone: null }, after: { phone: "+353 1 000 0099" } },
      },
    });
    const table = (await download("/audit/table")).toString("utf8");
    const row = table.split("\r\n").find((line) => line.includes("person.changed"));
    expect(row).toContain("Mona Manager");
    expect(row).toContain(new Date(service.now()).toISOString());
    expect(row).toContain('{""phone"":null}');
    expect(row).toContain('{""phone"":""+353 1 000 0099""}');
  });
});

describe("erasing a person", () => {
  it("takes an owner's own data out, keeps the clinical record and leaves the log whole", async () => {
    const { manager } = service;
    const someone = await service.personWith("owner", "Former Owner");
    const { body: seen } = await manager.get(`/people/${someone.id}`);
    const erased = await manager.send(
      "post",
      `/people/${someone.id}/erasure`,
      { reason: "Asked for by letter" },
      seen.version,
    );
    expect(erased.status).toBe(200);
    expect(erased.body.person).toMatchObject({ phone: null, status: "removed" });
    expect(JSON.stringify(erased.body.person)).not.toContain("Former Owner");
    const text = JSON.stringify(await service.query("SELECT * FROM people"));
    expect(text).not.toContain("former.owner@");
    expect((await someone.get("/session")).status).toBe(401);
    expect((await manager.get("/audit/verification")).body.faults).toEqual([]);
  });

  it("keeps a vet named beside what was signed until the term is over, and says until when", async () => {
    const { manager, vet } = service;
    const { body: seen } = await manager.get(`/people/${vet.id}`);
    const erased = await manager.send(
      "post",
      `/people/${vet.id}/erasure`,
      { reason: "Has left" },
      seen.version,
    );
    expect(erased.status).toBe(200);
    expect(erased.body.person).toMatchObject({ name: "Vera Vet", phone: null });
    // Signed on 14 October 2026; seven years by the house rule.
    expect(JSON.stringify(erased.body.kept)).toContain("15 October 2033");
  });
});
