import { execFileSync, spawn, type ChildProcess } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createServer, type Server } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, afterEach, beforeAll, describe, expect, it, vi } from "vitest";
import { isAlive } from "../../apps/api/src/database/postmaster-file.ts";

const starter = fileURLToPath(new URL("../../apps/api/bin/start.mjs", import.meta.url));

interface Started {
  readonly process: ChildProcess;
  /** Everything printed so far. */
  readonly output: () => string;
  /** Exit code, once it is gone. */
  readonly exit: Promise<number | null>;
}

describe("npm start", () => {
  let dataDir = "";
  let port = 0;
  const started: Started[] = [];

  const listen = async (at: number): Promise<Server> => {
    const server = createServer();
    server.listen(at, "127.0.0.1");
    await once(server, "listening");
    return server;
  };
  const portOf = (server: Server): number => {
    const address = server.address();
    return address !== null && typeof address === "object" ? address.port : 0;
  };
  const start = (env: Readonly<Record<string, string>> = {}): Started => {
    const child = spawn(process.execPath, [starter], {
      env: {
        ...process.env,
        HEELWARD_DATA: dataDir,
        HEELWARD_DEMO: "no",
        HOST: "127.0.0.1",
        PORT: String(port),
        ...env,
      },
      stdio: ["ignore", "pipe", "pipe"],
    });
    let output = "";
    child.stdout.on("data", (chunk: Buffer) => (output += chunk.toString()));
    child.stderr.on("data", (chunk: Buffer) => (output += chunk.toString()));
    const exit = new Promise<number | null>((resolve) => {
      child.once("exit", resolve);
    });
    const one = { process: child, output: () => output, exit };
    started.push(one);
    return one;
  };
  /** The address it prints once it answers. */
  const ready = async (one: Started): Promise<string> =>
    vi.waitFor(
      () => {
        const address = /is ready:\s+(\S+)/u.exec(one.output())?.[1];
        if (address === undefined) throw new Error(`not ready:\n${one.output()}`);
        return address;
      },
      { timeout: 120_000, interval: 50 },
    );
  const serverPid = (): number =>
    Number(readFileSync(join(dataDir, "postgres", "postmaster.pid"), "utf8").split("\n")[0]);
  const parentOf = (pid: number): number =>
    Number(execFileSync("ps", ["-o", "ppid=", "-p", String(pid)], { encoding: "utf8" }));
  const status = async (url: string): Promise<number> =>
    (await fetch(url, { signal: AbortSignal.timeout(20_000) })).status;

  beforeAll(async () => {
    dataDir = mkdtempSync(join(tmpdir(), `heelward-test-${process.pid}-`));
    const probe = await listen(0);
    port = portOf(probe);
    probe.close();
    await once(probe, "close");
  });
  afterEach(async () => {
    for (const one of started) one.process.kill("SIGTERM");
    await Promise.all(started.splice(0).map(async ({ exit }) => exit));
  });
  afterAll(() => rmSync(dataDir, { recursive: true, force: true }));

  it("serves dashboard and API on one address, says where the data lie, and ends cleanly on Ctrl-C", async () => {
    const service = start();
    const url = await ready(service);
    expect(url).toBe(`http://127.0.0.1:${port}`);
    expect(service.output()).toContain(dataDir);
    expect(await status(`${url}/`)).toBe(200);
    expect(await status(`${url}/readyz`)).toBe(200);
    expect(await status(`${url}/api/v1/session`)).toBe(401);
    const database = serverPid();
    service.process.kill("SIGINT");
    expect(await service.exit).toBe(0);
    expect(isAlive(database)).toBe(false);
    await expect(fetch(url)).rejects.toThrow("fetch failed");
  });

  it("takes the next port and says so when another program has the first", async () => {
    const other = await listen(port);
    try {
      const service = start();
      const url = await ready(service);
      expect(url).not.toBe(`http://127.0.0.1:${port}`);
      expect(service.output()).toContain(`Port ${port} is in use`);
      expect(await status(`${url}/readyz`)).toBe(200);
    } finally {
      other.close();
    }
  });

  it("says that it is running already when started twice, and leaves the first alone", async () => {
    const url = await ready(start());
    const second = start();
    expect(await second.exit).toBe(1);
    expect(second.output()).toContain("already running");
    expect(await status(`${url}/readyz`)).toBe(200);
  });

  it("starts again after the service was killed outright and left its database server behind", async () => {
    const first = start();
    await ready(first);
    const orphan = serverPid();
    process.kill(parentOf(orphan), "SIGKILL");
    await first.exit;
    expect(isAlive(orphan)).toBe(true);
    const url = await ready(start());
    expect(await status(`${url}/readyz`)).toBe(200);
    expect(isAlive(orphan)).toBe(false);
  });

  it("goes on by itself when the database server is killed under it", async () => {
    const url = await ready(start());
    process.kill(serverPid(), "SIGKILL");
    await vi.waitFor(async () => expect(await status(`${url}/readyz`)).toBe(200), {
      timeout: 120_000,
      interval: 100,
    });
  });

  it("ends when its starter is killed, because nobody could stop it otherwise", async () => {
    const service = start();
    const url = await ready(service);
    const database = serverPid();
    service.process.kill("SIGKILL");
    await vi.waitFor(() => expect(isAlive(database)).toBe(false), {
      timeout: 30_000,
      interval: 50,
    });
    await expect(fetch(url)).rejects.toThrow("fetch failed");
  });

  it("refuses settings it does not understand and names them", async () => {
    const service = start({ PORT: "front door" });
    expect(await service.exit).toBe(1);
    expect(service.output()).toContain("PORT");
  });
});
