import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import pg from "pg";
import { afterAll, afterEach, beforeAll, describe, expect, it, vi } from "vitest";
import {
  AlreadyRunning,
  startEmbeddedPostgres,
  type EmbeddedPostgres,
} from "../../../apps/api/src/database/embedded.ts";
import { isAlive } from "../../../apps/api/src/database/postmaster-file.ts";

const password = "a-password-with-'quotes'-and-/slashes";

describe("the embedded database", () => {
  let dataDir = "";
  const running: EmbeddedPostgres[] = [];

  const start = async (log?: (message: string) => void): Promise<EmbeddedPostgres> => {
    const server = await startEmbeddedPostgres({
      dataDir,
      password,
      isDurable: true,
      ...(log === undefined ? {} : { log }),
    });
    running.push(server);
    return server;
  };
  const query = async (server: EmbeddedPostgres, sql: string): Promise<unknown[]> => {
    const client = new pg.Client({ connectionString: server.url("postgres") });
    client.on("error", () => undefined);
    await client.connect();
    try {
      return (await client.query<Record<string, unknown>>(sql)).rows;
    } finally {
      await client.end();
    }
  };
  const pidOf = (server: EmbeddedPostgres): number => server.pid() ?? 0;

  // One folder for all: making a cluster takes longer than the tests do.
  beforeAll(() => {
    dataDir = mkdtempSync(join(tmpdir(), `heelward-test-${process.pid}-`));
  });
  afterEach(async () => {
    await Promise.all(running.splice(0).map(async (server) => server.stop()));
  });
  afterAll(() => rmSync(dataDir, { recursive: true, force: true }));

  it("keeps its rows over a stop and a start, and stops completely", async () => {
    const first = await start();
    await query(first, "CREATE TABLE kept AS SELECT 7 AS n");
    const pid = pidOf(first);
    await first.stop();
    expect(isAlive(pid)).toBe(false);
    const second = await start();
    expect(await query(second, "SELECT n FROM kept")).toEqual([{ n: 7 }]);
  });

  it("answers on this machine only, asks for the password, and writes before it says so", async () => {
    const server = await start();
    expect(
      await query(
        server,
        `SELECT current_setting('listen_addresses') AS listens, current_setting('fsync') AS fsync,
                current_setting('synchronous_commit') AS waits, current_setting('full_page_writes') AS pages,
                current_setting('TimeZone') AS zone`,
      ),
    ).toEqual([{ listens: "127.0.0.1", fsync: "on", waits: "on", pages: "on", zone: "UTC" }]);
    const stranger = new pg.Client({
      connectionString: server.url("postgres").replace(encodeURIComponent(password), "guess"),
    });
    await expect(stranger.connect()).rejects.toThrow("password authentication failed");
  });

  it("is not served twice: the second start says so and the first goes on", async () => {
    const first = await start();
    await expect(start()).rejects.toThrow(AlreadyRunning);
    expect(await query(first, "SELECT 1 AS one")).toEqual([{ one: 1 }]);
  });

  it("starts after a power cut left the pid file of a process that is gone", async () => {
    const first = await start();
    await first.stop();
    const gone = spawn(process.execPath, ["-e", ""]);
    await once(gone, "exit");
    writeFileSync(
      join(first.clusterFolder, "postmaster.pid"),
      `${gone.pid}\n${first.clusterFolder}\n0\n1\n\n127.0.0.1\n`,
    );
    expect(await query(await start(), "SELECT 1 AS one")).toEqual([{ one: 1 }]);
  });

  it("starts when the number in the pid file belongs to a stranger by now", async () => {
    const first = await start();
    await first.stop();
    const path = join(first.clusterFolder, "postmaster.pid");
    writeFileSync(path, `${process.pid}\n${first.clusterFolder}\n0\n1\n\n127.0.0.1\n`);
    expect(await query(await start(), "SELECT 1 AS one")).toEqual([{ one: 1 }]);
    expect(readFileSync(path, "utf8")).not.toMatch(new RegExp(`^${process.pid}\n`, "u"));
  });

  it("comes back by itself on the same address when the server is killed", async () => {
    const server = await start();
    await query(server, "CREATE TABLE survivor AS SELECT 7 AS n");
    const pid = pidOf(server);
    process.kill(pid, "SIGKILL");
    const rows = await vi.waitFor(async () => query(server, "SELECT n FROM survivor"), {
      timeout: 60_000,
      interval: 50,
    });
    expect(rows).toEqual([{ n: 7 }]);
    expect(pidOf(server)).not.toBe(pid);
  }, 90_000);

  it("goes on trying when a worker of the killed server holds on for longer than eight attempts", async () => {
    const said: string[] = [];
    const server = await start((message) => void said.push(message));
    const client = new pg.Client({ connectionString: server.url("postgres") });
    client.on("error", () => undefined);
    await client.connect();
    const { rows } = await client.query<{ pid: number }>("SELECT pg_backend_pid() AS pid");
    const worker = rows[0]?.pid ?? 0;
    // As one that waits for a disk that does not answer: it hears of nothing.
    process.kill(worker, "SIGSTOP");
    process.kill(pidOf(server), "SIGKILL");
    await vi.waitFor(() => expect(said.join("\n")).toContain("trying on"), {
      timeout: 60_000,
      interval: 50,
    });
    process.kill(worker, "SIGCONT");
    await vi.waitFor(
      async () => expect(await query(server, "SELECT 1 AS one")).toEqual([{ one: 1 }]),
      { timeout: 60_000, interval: 50 },
    );
  }, 150_000);

  it("takes over from a process that was killed and left its server behind", async () => {
    const holder = fileURLToPath(new URL("../../support/hold-database.ts", import.meta.url));
    const process9 = spawn(
      process.execPath,
      ["--conditions=development", holder, dataDir, password],
      { stdio: ["ignore", "pipe", "inherit"] },
    );
    const [printed] = (await once(process9.stdout, "data")) as [Buffer];
    const orphan = Number(printed.toString());
    process9.kill("SIGKILL");
    await once(process9, "exit");
    expect(isAlive(orphan)).toBe(true);
    const server = await start();
    expect(isAlive(orphan)).toBe(false);
    expect(await query(server, "SELECT 1 AS one")).toEqual([{ one: 1 }]);
  });

  it("leaves no half-made cluster and no password lying about", async () => {
    await start();
    expect(readdirSync(dataDir).filter((name) => /new-|password/u.test(name))).toEqual([]);
  });

  it("says what to do when the secrets do not belong to the data", async () => {
    await (await start()).stop();
    await expect(
      startEmbeddedPostgres({ dataDir, password: "another", isDurable: true }),
    ).rejects.toThrow("Restore the secrets");
  });

  it("says what to do when the data come from another version of Postgres", async () => {
    const first = await start();
    await first.stop();
    writeFileSync(join(first.clusterFolder, "PG_VERSION"), "12\n");
    await expect(start()).rejects.toThrow("written by Postgres 12");
  });
});
