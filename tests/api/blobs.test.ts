import { randomUUID } from "node:crypto";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import S3rver from "s3rver";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { folderBlobStore, type BlobKeeper } from "../../apps/api/src/blobs/blob-store.ts";
import { s3BlobStore } from "../../apps/api/src/blobs/s3-blob-store.ts";

const PRACTICE = "0199e000-0000-7000-8000-000000000001";
const folder = mkdtempSync(join(tmpdir(), "heelward-blobs-"));
const server = new S3rver({
  port: 0,
  silent: true,
  directory: join(folder, "s3"),
  configureBuckets: [{ name: "films", configs: [] }],
});
const stores: Record<string, BlobKeeper> = { "a folder": folderBlobStore(join(folder, "files")) };

beforeAll(async () => {
  const { port } = await server.run();
  stores["an S3-compatible store"] = s3BlobStore({
    endpoint: `http://127.0.0.1:${port}`,
    bucket: "films",
    region: "us-east-1",
    accessKeyId: "S3RVER",
    secretAccessKey: "S3RVER",
  });
});
afterAll(async () => {
  await server.close();
  rmSync(folder, { recursive: true, force: true });
});

describe.each(["a folder", "an S3-compatible store"])("blobs in %s", (name) => {
  it("come back to the last byte, under a key made of their own digest (SHA-256 of 'abc', FIPS 180-4)", async () => {
    const store = stores[name] as BlobKeeper;
    const { key, sha256 } = await store.put(PRACTICE, new TextEncoder().encode("abc"));
    expect(sha256).toBe("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    expect(key).toBe(`${PRACTICE}/ba/${sha256}`);
    expect(new TextDecoder().decode(await store.get(key))).toBe("abc");
    expect((await store.put(PRACTICE, new TextEncoder().encode("abc"))).key).toBe(key);
  });

  it("are not found by a key that somebody made up", async () => {
    await expect((stores[name] as BlobKeeper).get("../../etc/passwd")).rejects.toThrow(
      "not a blob key",
    );
  });

  it("are listed for one practice, removed when they are old, and left when they are fresh", async () => {
    const store = stores[name] as BlobKeeper;
    const practice = randomUUID();
    const listed = async () => {
      const keys: string[] = [];
      for await (const { key } of store.list(practice)) keys.push(key);
      return keys.toSorted();
    };
    const [first, second] = [
      (await store.put(practice, new TextEncoder().encode("first"))).key,
      (await store.put(practice, new TextEncoder().encode("second"))).key,
    ];
    await store.put(randomUUID(), new TextEncoder().encode("of another practice"));
    expect(await listed()).toEqual([first, second].toSorted());
    for await (const { writtenAtMs } of store.list(practice))
      // The store's clock has seconds only.
      expect(Math.abs(writtenAtMs - Date.now())).toBeLessThan(60_000);
    expect(await store.removeOlder(first, Date.now() - 3_600_000)).toBe(false);
    expect(await store.removeOlder(first, Date.now() + 3_600_000)).toBe(true);
    expect(await listed()).toEqual([second]);
    await expect(store.removeOlder("../../etc/passwd", Date.now())).rejects.toThrow(
      "not a blob key",
    );
  });

  it("have notes beside them, each written once and given back by day", async () => {
    const store = stores[name] as BlobKeeper;
    const practice = randomUUID();
    const note = (day: string) => `${practice}/${day}.json`;
    expect(await store.noteOnce(note("2026-10-15"), "second")).toBe(true);
    expect(await store.noteOnce(note("2026-10-14"), "first")).toBe(true);
    expect(await store.noteOnce(note("2026-10-14"), "another")).toBe(false);
    expect(await store.notes(practice)).toEqual([
      { name: note("2026-10-14"), text: "first" },
      { name: note("2026-10-15"), text: "second" },
    ]);
    // Notes are no blobs: the sweep never sees them.
    for await (const { key } of store.list(practice)) throw new Error(`${key} is listed`);
  });
});
