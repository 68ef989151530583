import { spawn } from "node:child_process";
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { connect as dial } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";
import { freePort } from "./free-port.ts";

const answers = (port: number): Promise<boolean> =>
  new Promise((resolve) => {
    const socket = dial(port, "127.0.0.1", () => {
      socket.destroy();
      resolve(true);
    });
    socket.once("error", () => resolve(false));
  });

/**
 * PgBouncer from Debian in front of a database, sharing two connections between all clients from
 * transaction to transaction.
 */
export const startPooler = async (
  appUrl: string,
): Promise<{ readonly url: string; readonly stop: () => Promise<void> }> => {
  const { hostname, port, pathname, username, password } = new URL(appUrl);
  const folder = mkdtempSync(join(tmpdir(), "heelward-pooler-"));
  // Read by another account when the tests run as root.
  chmodSync(folder, 0o755);
  const own = await freePort();
  const database = pathname.slice(1);
  writeFileSync(join(folder, "users.txt"), `"${username}" "${decodeURIComponent(password)}"\n`);
  writeFileSync(
    join(folder, "pgbouncer.ini"),
    [
      "[databases]",
      `${database} = host=${hostname} port=${port} dbname=${database} user=${username} password=${decodeURIComponent(password)}`,
      "[pgbouncer]",
      "listen_addr = 127.0.0.1",
      `listen_port = ${own}`,
      "unix_socket_dir =",
      "auth_type = plain",
      `auth_file = ${join(folder, "users.txt")}`,
      "pool_mode = transaction",
      "default_pool_size = 2",
      "max_client_conn = 200",
    ].join("\n"),
  );
  const asRoot = process.getuid?.() === 0;
  const child = spawn("pgbouncer", [join(folder, "pgbouncer.ini")], {
    stdio: "ignore",
    // It refuses to run as root; any other account will do.
    ...(asRoot ? { uid: 65_534, gid: 65_534 } : {}),
  });
  for (let attempt = 0; attempt < 200; attempt += 1) {
    // oxlint-disable-next-line no-await-in-loop
    if (await answers(own)) break;
    // oxlint-disable-next-line no-await-in-loop
    await pause(20);
  }
  const url = new URL(appUrl);
  url.port = String(own);
  return {
    url: url.href,
    stop: async () => {
      const ended = new Promise((resolve) => child.once("exit", resolve));
      child.kill("SIGQUIT");
      await ended;
      rmSync(folder, { recursive: true, force: true });
    },
  };
};
