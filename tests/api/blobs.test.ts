import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import S3rver from "s3rver";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { folderBlobStore, type BlobStore } from "../../apps/api/src/blobs/blob-store.ts";
import { s3BlobStore } from "../../apps/api/src/blobs/s3-blob-store.ts";

const PRACTICE = "0199e000-0000-7000-8000-000000000001";
const folder = mkdtempSync(join(tmpdir(), "heelward-blobs-"));
const server = new S3rver({
  port: 0,
  silent: true,
  directory: join(folder, "s3"),
  configureBuckets: [{ name: "films", configs: [] }],
});
const stores: Record<string, BlobStore> = { "a folder": folderBlobStore(join(folder, "files")) };

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
    const store = stores[name] as BlobStore;
    const { key, sha256 } = await store.put(PRACTICE, new TextEncoder().encode("abc"));
    expect(sha256).toBe("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    expect(key).toBe(`${PRACTICE}/ba/${sha256}`);
    expect(new TextDecoder().decode(await store.get(key))).toBe("abc");
    expect((await store.put(PRACTICE, new TextEncoder().encode("abc"))).key).toBe(key);
  });

  it("are not found by a key that somebody made up", async () => {
    await expect((stores[name] as BlobStore).get("../../etc/passwd")).rejects.toThrow(
      "not a blob key",
    );
  });
});
