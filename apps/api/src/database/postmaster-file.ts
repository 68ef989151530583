import { spawnSync } from "node:child_process";
import { existsSync, readFileSync, realpathSync, rmSync } from "node:fs";
import { join } from "node:path";

/** What a running server writes about itself into its cluster folder. */
export interface PostmasterFile {
  readonly pid: number;
  readonly port: number;
  readonly isReady: boolean;
}

const fileIn = (clusterDir: string): string => join(clusterDir, "postmaster.pid");

/**
 * Reads `postmaster.pid`. Lines by the Postgres manual, "Database File Layout": pid, folder, start
 * time, port, socket folder, address, shared memory, and the status once it is known.
 */
export const readPostmasterFile = (clusterDir: string): PostmasterFile | undefined => {
  if (!existsSync(fileIn(clusterDir))) return undefined;
  const lines = readFileSync(fileIn(clusterDir), "utf8").split("\n");
  const pid = Number.parseInt(lines[0] ?? "", 10);
  if (!Number.isInteger(pid)) return undefined;
  return {
    pid: Math.abs(pid),
    port: Number.parseInt(lines[3] ?? "", 10),
    isReady: (lines[7] ?? "").trim() === "ready",
  };
};

/** Whether a process exists, whoever owns it. */
export const isAlive = (pid: number): boolean => {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return error instanceof Error && "code" in error && error.code === "EPERM";
  }
};

const commandLine = (pid: number): string => {
  if (process.platform === "linux") {
    try {
      return readFileSync(`/proc/${pid}/cmdline`, "utf8").replaceAll("\0", " ");
    } catch {
      return "";
    }
  }
  if (process.platform === "win32") return "postgres";
  return spawnSync("ps", ["-o", "command=", "-p", String(pid)], { encoding: "utf8" }).stdout;
};

/**
 * The server that runs on this cluster right now, if any. After a crash or a power cut the file may
 * name a process that is gone or, worse, a stranger that was given the same number since: in both
 * cases there is no server, and the stranger's file is removed because Postgres would stop at it.
 * The file of a dead process is left to Postgres, which also checks for surviving shared memory.
 */
export const runningServer = (clusterDir: string): PostmasterFile | undefined => {
  const file = readPostmasterFile(clusterDir);
  if (file === undefined || !isAlive(file.pid)) return undefined;
  const command = commandLine(file.pid);
  const isOurs =
    command.includes("postgres") &&
    (process.platform === "win32" ||
      command.includes(clusterDir) ||
      command.includes(realpathSync(clusterDir)));
  if (isOurs) return file;
  rmSync(fileIn(clusterDir), { force: true });
  return undefined;
};
