import { randomBytes, randomUUID } from "node:crypto";
import { existsSync, mkdirSync, utimesSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { folderBlobStore, type BlobKeeper } from "../../apps/api/src/blobs/blob-store.ts";
import { connect, type Database } from "../../apps/api/src/database/client.ts";
import { asSystem, type SystemWork } from "../../apps/api/src/jobs/as-system.ts";
import { clearOld } from "../../apps/api/src/jobs/clear-old.ts";
import { compareWithNotes, noteAuditHead } from "../../apps/api/src/jobs/note-audit-head.ts";
import { sweepBlobs } from "../../apps/api/src/jobs/sweep-blobs.ts";
import { createSigner } from "../../apps/api/src/records/signer.ts";
import { renderedFilm } from "../support/films.ts";
import { startTestService, type TestService } from "../support/service.ts";
import { keepTables } from "../support/tamper.ts";
import { uploadFilm } from "../support/uploads.ts";

const DAY = 86_400_000;
const signer = createSigner("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60");

let service: TestService;
let db: Database;
let blobs: BlobKeeper;
beforeAll(async () => {
  service = await startTestService();
  db = connect(service.appUrl, 3);
  blobs = folderBlobStore(service.blobFolder);
});
afterAll(async () => {
  await db.$disconnect();
  await service.close();
});

const nightAfter = <T>(days: number, act: (work: SystemWork) => Promise<T>): Promise<T> =>
  asSystem(db, service.practiceId, service.now() + days * DAY, act);
const set = (key: string, days: number) =>
  service.query(
    "INSERT INTO settings (practice_id, id, key, value, source, since, set_by) VALUES ($1, $2, $3, $4, 'the practice', '2026-10-01', $5)",
    [service.practiceId, randomUUID(), key, JSON.stringify(days), service.manager.id],
  );

describe("what only served to send a letter or repeat a request", () => {
  const letter = async (at: { readonly sent?: number; readonly dropped?: number }) => {
    const id = randomUUID();
    const instant = (days: number | undefined) =>
      days === undefined ? null : new Date(service.now() - days * DAY);
    await service.query(
      `INSERT INTO outbox (practice_id, id, kind, payload, last_error, sent_at, dropped_at)
       VALUES ($1, $2, 'late note', '{"to":"somebody@test.invalid","noteId":"x"}', 'come back later', $3, $4)`,
      [service.practiceId, id, instant(at.sent), instant(at.dropped)],
    );
    return id;
  };
  const isCleared = async (id: string) => {
    const [row] = await service.query(
      "SELECT payload = '{}' AND last_error IS NULL AS cleared FROM outbox WHERE id = $1",
      [id],
    );
    return row?.["cleared"];
  };
  const answer = async (days: number) => {
    const key = randomUUID();
    await service.query(
      `INSERT INTO idempotency_keys (practice_id, person_id, key, operation, request_hash, status, response, created_at)
       VALUES ($1, $2, $3, 'openCase', 'x', 201, '{}', $4)`,
      [service.practiceId, service.vet.id, key, new Date(service.now() - days * DAY)],
    );
    return key;
  };
  const isKept = async (key: string) =>
    (await service.query("SELECT 1 FROM idempotency_keys WHERE key = $1", [key])).length === 1;

  it("is cleared after the standard terms, 90 days for letters and 60 for answers (house rules), and not before", async () => {
    const [old, given, young, waiting] = [
      await letter({ sent: 91 }),
      await letter({ dropped: 91 }),
      await letter({ sent: 89 }),
      await letter({}),
    ];
    const [oldAnswer, youngAnswer] = [await answer(61), await answer(59)];
    expect(await nightAfter(0, clearOld)).toEqual({ letters: 2, answers: 1, isMore: false });
    expect(await isCleared(old)).toBe(true);
    expect(await isCleared(given)).toBe(true);
    expect(await isCleared(young)).toBe(false);
    expect(await isCleared(waiting), "a letter that waits is never cleared").toBe(false);
    expect(await isKept(oldAnswer)).toBe(false);
    expect(await isKept(youngAnswer)).toBe(true);
    expect(await nightAfter(0, clearOld)).toEqual({ letters: 0, answers: 0, isMore: false });
  });

  it("is cleared by the practice's own terms where it set some", async () => {
    const [sent, key] = [await letter({ sent: 20 }), await answer(40)];
    await nightAfter(0, clearOld);
    expect([await isCleared(sent), await isKept(key)]).toEqual([false, true]);
    await set("retention.letter-days", 14);
    await set("retention.repeated-request-days", 30);
    await nightAfter(0, clearOld);
    expect([await isCleared(sent), await isKept(key)]).toEqual([true, false]);
  });
});

describe("bytes without a row", () => {
  const age = (key: string, days: number) => {
    const at = new Date(service.now() - days * DAY);
    utimesSync(join(service.blobFolder, key), at, at);
  };
  const isThere = (key: string) => existsSync(join(service.blobFolder, key));
  const sweep = () =>
    sweepBlobs((act) => nightAfter(0, act), service.practiceId, blobs, service.now());

  it("go after a day; those of films and fresh ones stay", async () => {
    const opened = await service.vet.send("post", "/cases", {
      horseId: service.horseId,
      phase: "chronic active",
    });
    const { dicom } = renderedFilm(undefined, {
      render: { widthPx: 300, heightPx: 250, detectorPitchMm: 0.68 },
    });
    const film = await uploadFilm(service, opened.body.id, dicom, { foot: "LF" });
    expect(film.status, film.text).toBe(201);
    const [row] = await service.query(
      "SELECT ARRAY[blob_key, preview_key, pixels_key] AS keys FROM radiographs",
    );
    const kept = row?.["keys"] as string[];
    const old = (await blobs.put(service.practiceId, randomBytes(100))).key;
    const fresh = (await blobs.put(service.practiceId, randomBytes(100))).key;
    const draft = `${old.slice(0, -1)}0.0123456789ab`;
    mkdirSync(dirname(join(service.blobFolder, draft)), { recursive: true });
    writeFileSync(join(service.blobFolder, draft), "cut off");
    for (const key of [...kept, old, draft]) age(key, 2);
    age(fresh, 0.9);
    expect(await sweep()).toBe(2);
    expect(kept.map(isThere)).toEqual([true, true, true]);
    expect([isThere(old), isThere(draft), isThere(fresh)]).toEqual([false, false, true]);
    expect(await sweep()).toBe(0);
  });

  it("stay when somebody wrote the same bytes again meanwhile", async () => {
    const bytes = randomBytes(100);
    const { key } = await blobs.put(service.practiceId, bytes);
    age(key, 2);
    await blobs.put(service.practiceId, bytes);
    age(key, 0);
    expect(await blobs.removeOlder(key, service.now() - DAY)).toBe(false);
    expect(Buffer.from(await blobs.get(key))).toEqual(bytes);
  });
});

describe("the newest entry of the log, noted elsewhere every night", () => {
  const compare = () => nightAfter(9, (work) => compareWithNotes(work, blobs, signer));

  it("shows a log whose end was cut off, although what is left holds in itself", async () => {
    for (let count = 0; count < 3; count += 1)
      // Each entry follows from the one before.
      // oxlint-disable-next-line no-await-in-loop
      await service.vet.send("post", "/handoff-notes", {
        horseId: service.horseId,
        toRole: "farrier",
        situation: `Note ${count}`,
        mustDo: "Read it.",
      });
    const head = await nightAfter(1, (work) => noteAuditHead(work, blobs, signer));
    expect(head.sequence).toBeGreaterThanOrEqual(3);
    expect(await compare()).toEqual([]);
    const { tamper, undo } = await keepTables(service, ["audit_entries", "audit_heads"]);
    await tamper(
      `DELETE FROM audit_entries WHERE sequence = ${head.sequence};
       UPDATE audit_heads SET sequence = ${head.sequence - 1}, hash = (SELECT hash FROM audit_entries WHERE sequence = ${head.sequence - 1})`,
    );
    expect(await compare()).toEqual([expect.stringContaining(`entry ${head.sequence}, noted in`)]);
    await tamper(
      `UPDATE audit_entries SET hash = repeat('0', 64) WHERE sequence = ${head.sequence - 1}`,
    );
    await undo();
    expect(await compare()).toEqual([]);
  });

  it("is noted once a day and cannot be forged without the key", async () => {
    const before = await blobs.notes(service.practiceId);
    await nightAfter(1, (work) => noteAuditHead(work, blobs, signer));
    expect(await blobs.notes(service.practiceId)).toEqual(before);
    await nightAfter(2, (work) => noteAuditHead(work, blobs, createSigner("11".repeat(32))));
    expect(await compare()).toEqual([expect.stringContaining("is not as it was signed")]);
  });
});
