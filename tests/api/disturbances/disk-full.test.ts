import { spawn, spawnSync, type ChildProcess } from "node:child_process";
import { createHash, randomUUID } from "node:crypto";
import { once } from "node:events";
import { globSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { isOutOfRoom } from "../../../apps/api/src/http/trouble.ts";
import { until } from "../../support/background.ts";
import { freePort } from "../../support/free-port.ts";
import { PASSWORD, startTestService, type TestService } from "../../support/service.ts";

// The kernel itself refuses to write: the largest size of a file is taken from the running service
// (RLIMIT_FSIZE, for which no root is needed) and given back. Part of a file is written before that,
// as on a disk that fills.
vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 });

let service: TestService;
let dataDir = "";
let url = "";
let child: ChildProcess;
let token = "";

const allow = (largest: string): void => {
  const { status, stderr } = spawnSync(
    "prlimit",
    ["--pid", String(child.pid), `--fsize=${largest}:unlimited`],
    { encoding: "utf8" },
  );
  if (status !== 0) throw new Error(`prlimit: ${stderr}`);
};

beforeAll(async () => {
  service = await startTestService();
  dataDir = mkdtempSync(join(tmpdir(), "heelward-full-"));
  const port = await freePort();
  url = `http://127.0.0.1:${port}`;
  child = spawn(
    process.execPath,
    [
      "--conditions=development",
      fileURLToPath(new URL("../../support/killable-service.ts", import.meta.url)),
      service.appUrl,
      dataDir,
      String(port),
    ],
    { stdio: ["ignore", "ignore", "ignore", "ipc"] },
  );
  await until(
    () => fetch(`${url}/readyz`).then((answer) => answer.status, String),
    (answer) => answer === 200,
    90_000,
  );
  const answer = await fetch(`${url}/api/v1/session`, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({ email: service.vet.email, password: PASSWORD }),
  });
  ({ accessToken: token } = (await answer.json()) as { accessToken: string });
});
afterAll(async () => {
  const ended = once(child, "exit");
  child.kill("SIGKILL");
  await ended;
  await service.close();
  rmSync(dataDir, { recursive: true, force: true });
});

const upload = (key: string, bytes: Uint8Array<ArrayBuffer>): Promise<Response> => {
  const form = new FormData();
  form.append("kind", "photo");
  form.append("takenAt", new Date(Date.now() - 60_000).toISOString());
  form.append("file", new Blob([bytes], { type: "image/png" }), "foot.png");
  return fetch(`${url}/api/v1/horses/${service.horseId}/documents`, {
    method: "POST",
    headers: { authorization: `Bearer ${token}`, "idempotency-key": key },
    body: form,
  });
};
const stored = (): readonly string[] =>
  globSync("*/*/*", { cwd: join(dataDir, "blobs") }).map((path) => join(dataDir, "blobs", path));

describe("a store without room", () => {
  it("refuses the photo and keeps nothing of it, goes on with everything else, and takes it under the same key once there is room", async () => {
    const noise = await sharp({
      create: {
        width: 400,
        height: 400,
        channels: 3,
        background: "#808080",
        noise: { type: "gaussian", mean: 128, sigma: 30 },
      },
    })
      .png()
      .toBuffer();
    const photo = new Uint8Array(noise);
    const key = randomUUID();
    allow("4096");
    const refused = await upload(key, photo);
    expect(refused.status).toBe(503);
    expect(refused.headers.get("retry-after")).toBe("60");
    expect(await refused.json()).toMatchObject({
      detail: "There is no room left; nothing was saved.",
    });
    expect(stored()).toEqual([]);
    expect(await service.query("SELECT id FROM documents")).toEqual([]);
    expect(await service.query("SELECT key FROM idempotency_keys WHERE key = $1", [key])).toEqual(
      [],
    );
    const note = await fetch(`${url}/api/v1/handoff-notes`, {
      method: "POST",
      headers: {
        authorization: `Bearer ${token}`,
        "idempotency-key": randomUUID(),
        "content-type": "application/json",
      },
      body: JSON.stringify({
        horseId: service.horseId,
        toRole: "farrier",
        situation: "The disk is full.",
        mustDo: "Ring me.",
      }),
    });
    expect(note.status).toBe(201);

    allow("unlimited");
    const taken = await upload(key, photo);
    expect(taken.status).toBe(201);
    const { sha256 } = (await taken.json()) as { sha256: string };
    const [path, ...others] = stored();
    expect(others).toEqual([]);
    expect(
      createHash("sha256")
        .update(readFileSync(path ?? ""))
        .digest("hex"),
    ).toBe(sha256);
  });

  it("is known by the codes of a full disk, a full quota and a full database (POSIX errno; PostgreSQL manual, appendix A)", () => {
    for (const code of ["ENOSPC", "EDQUOT", "EFBIG", "53100"])
      expect(isOutOfRoom(new Error("deep down", { cause: { code } })), code).toBe(true);
    expect(isOutOfRoom(Object.assign(new Error("other"), { code: "ENOENT" }))).toBe(false);
  });
});
