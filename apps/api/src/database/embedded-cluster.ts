import { spawnSync } from "node:child_process";
import { createHash, randomBytes } from "node:crypto";
import {
  chmodSync,
  chownSync,
  existsSync,
  mkdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import {
  accountForServer,
  canReach,
  makeServerFolder,
  serverPrograms,
  type RunAs,
} from "./embedded-binaries.ts";

/** Login of the embedded server's superuser. */
export const superuser = "postgres";

/** A cluster on disk and the programs and account that serve it. */
export interface Cluster {
  readonly folder: string;
  readonly postgres: string;
  readonly runAs: RunAs;
}

const serverMajor = "18";

const spareName = (dataDir: string): string =>
  createHash("sha256").update(dataDir).digest("hex").slice(0, 12);

// Root may keep the data where no other account can look (/root). The cluster then moves to the
// place the system keeps such state in.
export const clusterFolder = (dataDir: string): string => {
  const beside = join(dataDir, "postgres");
  if (canReach(dataDir, accountForServer(beside))) return beside;
  const base = existsSync("/var/lib") ? "/var/lib/heelward" : join(tmpdir(), "heelward");
  return join(base, spareName(dataDir), "postgres");
};

// As root the server runs under another account, which must be able to pass through, whatever the
// umask; what lies in the folder stays closed to others.
const makePassable = (folder: string): void => {
  mkdirSync(folder, { recursive: true, mode: 0o711 });
  if (process.getuid?.() === 0) chmodSync(folder, 0o711);
};

const initialise = (
  folder: string,
  initdb: string,
  runAs: RunAs,
  options: { readonly password: string; readonly isDurable: boolean },
): void => {
  // Made beside its final place and renamed, so that a crash leaves no half-made cluster behind.
  const draft = `${folder}.new-${randomBytes(4).toString("hex")}`;
  const passwordFile = `${draft}.password`;
  makeServerFolder(draft, runAs);
  try {
    writeFileSync(passwordFile, options.password, { mode: 0o600 });
    if (runAs.uid !== undefined && runAs.gid !== undefined) {
      chownSync(passwordFile, runAs.uid, runAs.gid);
    }
    const run = spawnSync(
      initdb,
      [
        `--pgdata=${draft}`,
        `--username=${superuser}`,
        "--auth=scram-sha-256",
        `--pwfile=${passwordFile}`,
        "--encoding=UTF8",
        "--locale-provider=builtin",
        "--locale=C.UTF-8",
        "--lc-messages=C",
        ...(options.isDurable ? [] : ["--no-sync"]),
      ],
      { ...runAs, cwd: "/", encoding: "utf8" },
    );
    if (run.status !== 0) {
      throw new Error(
        `Postgres could not make a new cluster in ${folder}: ${run.stderr || (run.error?.message ?? "")}`,
      );
    }
    renameSync(draft, folder);
  } catch (error) {
    rmSync(draft, { recursive: true, force: true });
    throw error;
  } finally {
    rmSync(passwordFile, { force: true });
  }
};

/**
 * Finds or makes the cluster of a data folder.
 *
 * @throws when the cluster belongs to another major version of Postgres, or cannot be made
 */
export const openCluster = (options: {
  readonly dataDir: string;
  readonly password: string;
  readonly isDurable: boolean;
}): Cluster => {
  makePassable(options.dataDir);
  const folder = clusterFolder(options.dataDir);
  if (dirname(folder) !== options.dataDir) {
    makePassable(dirname(dirname(folder)));
    makePassable(dirname(folder));
  }
  const runAs = accountForServer(folder);
  const programs = serverPrograms(runAs, `${folder}-programs-${serverMajor}`);
  if (!existsSync(join(folder, "PG_VERSION"))) {
    initialise(folder, programs.initdb, runAs, options);
  }
  const major = readFileSync(join(folder, "PG_VERSION"), "utf8").trim();
  if (major !== serverMajor) {
    throw new Error(
      `${folder} was written by Postgres ${major}; this version of Heelward brings Postgres ${serverMajor}. Restore a backup into a new data folder.`,
    );
  }
  return { folder, postgres: programs.postgres, runAs };
};
