import react from "@vitejs/plugin-react";
import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";
import { compressedFiles } from "./build/compressed-files.ts";
import { operationTable } from "./build/operation-table.ts";
import { serviceWorker } from "./build/service-worker.ts";

const packages = fileURLToPath(new URL("../../packages", import.meta.url));

export default defineConfig({
  root: fileURLToPath(new URL(".", import.meta.url)),
  plugins: [react(), operationTable(), serviceWorker(), compressedFiles()],
  resolve: {
    // The packages are read from their sources, so that unused rules fall away.
    alias: [
      {
        find: /^@heelward\/domain\/(.+)$/,
        replacement: `${packages}/domain/src/$1/index.ts`,
      },
      {
        find: /^@heelward\/radiograph\/(.+)$/,
        replacement: `${packages}/radiograph/src/$1/index.ts`,
      },
      { find: /^@heelward\/contracts$/, replacement: `${packages}/contracts/src/index.ts` },
    ],
  },
  build: {
    outDir: "dist",
    emptyOutDir: true,
    target: "es2022",
    modulePreload: { polyfill: false },
    // Nothing is inlined as data: URI; the content security policy allows only our own files.
    assetsInlineLimit: 0,
    rolldownOptions: {
      output: {
        // What every page needs travels in one file: forty small ones would wait for each other.
        codeSplitting: { groups: [{ name: "first", tags: ["$initial"] }] },
      },
      treeshake: {
        moduleSideEffects: (id) =>
          !id.startsWith(packages) && !/\/luxon\/|\/src\/language\//.test(id),
      },
    },
  },
  worker: { format: "es" },
  server: {
    proxy: {
      "^/(api|first-aid/)": process.env["HEELWARD_API"] ?? "http://127.0.0.1:3080",
    },
  },
});
