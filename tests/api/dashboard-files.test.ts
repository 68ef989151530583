import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { brotliDecompressSync, brotliCompressSync, gunzipSync, gzipSync } from "node:zlib";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { startTestService, type TestService } from "../support/service.ts";

const SCRIPT = "export const hoof = 1;\n".repeat(100);

let service: TestService;
let folder: string;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "heelward-web-"));
  mkdirSync(join(folder, "assets"));
  writeFileSync(join(folder, "index.html"), "<!doctype html><title>Heelward</title>");
  writeFileSync(join(folder, "assets", "first.js"), SCRIPT);
  writeFileSync(join(folder, "assets", "first.js.br"), brotliCompressSync(SCRIPT));
  writeFileSync(join(folder, "assets", "first.js.gz"), gzipSync(SCRIPT));
  service = await startTestService({ webDist: folder });
});
afterAll(async () => {
  await service.close();
  rmSync(folder, { recursive: true });
});

const fetched = async (url: string, encodings: string) => {
  const { headers, rawPayload, statusCode } = await service.app.inject({
    url,
    headers: { "accept-encoding": encodings },
  });
  return { headers, rawPayload, statusCode };
};

describe("files of the dashboard", () => {
  // RFC 9110 section 12.5.3: the browser says which encodings it takes, and the answer varies with it.
  it.each([
    ["br", "gzip, deflate, br", brotliDecompressSync],
    ["gzip", "gzip", gunzipSync],
  ])("are sent as the %s copy to whoever takes it", async (encoding, accepted, unpack) => {
    const { headers, rawPayload, statusCode } = await fetched("/assets/first.js", accepted);
    expect(statusCode).toBe(200);
    expect(headers["content-encoding"]).toBe(encoding);
    expect(headers.vary).toMatch(/accept-encoding/iu);
    expect(headers["content-type"]).toMatch(/javascript/u);
    expect(unpack(rawPayload).toString()).toBe(SCRIPT);
  });

  it("are sent as they are to whoever takes no packing", async () => {
    const { headers, rawPayload } = await fetched("/assets/first.js", "identity");
    expect(headers["content-encoding"]).toBeUndefined();
    expect(rawPayload.toString()).toBe(SCRIPT);
  });

  it("are kept for good when their name holds their hash, and asked for anew otherwise", async () => {
    const kept = await fetched("/assets/first.js", "br");
    expect(kept.headers["cache-control"]).toBe("public, max-age=31536000, immutable");
    const page = await fetched("/cases/some-case", "br");
    expect(page.statusCode).toBe(200);
    expect(page.headers["cache-control"]).toBe("no-cache");
    expect(page.rawPayload.toString()).toContain("<title>Heelward</title>");
  });
});
