import { readFileSync, readdirSync } from "node:fs";
import { join, relative } from "node:path";
import { fileURLToPath } from "node:url";

/** Absolute path of the repository's top folder. */
export const root = fileURLToPath(new URL("../../", import.meta.url));

const madeByTools = new Set([
  "node_modules",
  ".git",
  "dist",
  ".data",
  "generated",
  "coverage",
  "test-results",
]);

/** Paths of all files that people wrote, below one folder, relative to the top and with `/`. */
export const filesBelow = (folder: string): readonly string[] =>
  readdirSync(join(root, folder), { withFileTypes: true }).flatMap((entry) => {
    if (madeByTools.has(entry.name) || entry.name.endsWith(".tsbuildinfo")) return [];
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return filesBelow(path);
    return entry.isFile() ? [relative(root, join(root, path)).replaceAll("\\", "/")] : [];
  });

/** Text of a file named by its path from the top. */
export const textOf = (path: string): string => readFileSync(join(root, path), "utf8");

/** A JSON file named by its path from the top. */
export const jsonOf = (path: string): unknown => JSON.parse(textOf(path));
