import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { build, type Plugin } from "vite";

const SOURCE = fileURLToPath(new URL("../src/offline/service-worker.ts", import.meta.url));
const NAME = "service-worker.js";

const filesBelow = (folder: string): readonly string[] =>
  readdirSync(folder, { withFileTypes: true }).flatMap((entry) =>
    entry.isDirectory() ? filesBelow(join(folder, entry.name)) : [join(folder, entry.name)],
  );

/** Every file of the dashboard, for the precache; one without a hash in its name gets its own as revision. */
const precacheOf = (folder: string) =>
  filesBelow(folder)
    .map((path) => ({ path, name: relative(folder, path).replaceAll("\\", "/") }))
    .filter(({ name }) => name !== NAME && !name.startsWith(".") && !name.endsWith(".map"))
    .map(({ path, name }) => ({
      url: `/${name}`,
      revision: name.startsWith("assets/")
        ? null
        : createHash("sha256").update(readFileSync(path)).digest("hex").slice(0, 16),
    }));

/**
 * After the dashboard is built, builds the service worker into one plain script beside it, with the
 * list of the files it must keep. A second build, because a worker that shares modules with the page
 * would have to be a module itself, which not every browser takes.
 */
export const serviceWorker = (): Plugin => {
  let outDir = "";
  return {
    name: "heelward-service-worker",
    apply: "build",
    configResolved: (config) => {
      outDir = join(config.root, config.build.outDir);
      if (config.build.outDir.startsWith("/")) outDir = config.build.outDir;
    },
    closeBundle: async () => {
      await build({
        configFile: false,
        publicDir: false,
        logLevel: "warn",
        define: {
          "self.__WB_MANIFEST": JSON.stringify(precacheOf(outDir)),
          "process.env.NODE_ENV": JSON.stringify("production"),
        },
        build: {
          outDir,
          emptyOutDir: false,
          target: "es2022",
          rolldownOptions: {
            input: SOURCE,
            output: { format: "iife", entryFileNames: NAME },
          },
        },
      });
    },
  };
};
