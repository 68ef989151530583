import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** A folder for files that programs of others read and write. */
export const toolFolder = () => {
  const folder = mkdtempSync(join(tmpdir(), "heelward-tools-"));
  const path = (name: string): string => join(folder, name);
  return {
    path,
    write: (name: string, bytes: Uint8Array): string => {
      writeFileSync(path(name), bytes);
      return path(name);
    },
    read: (name: string): Buffer => readFileSync(path(name)),
    remove: (): void => rmSync(folder, { recursive: true, force: true }),
  };
};

/** What a program says on standard output and standard error together. */
export const toolSays = (program: string, ...args: readonly string[]): string =>
  execFileSync("sh", ["-c", '"$0" "$@" 2>&1 || true', program, ...args], {
    encoding: "utf8",
    maxBuffer: 2 ** 26,
  });
