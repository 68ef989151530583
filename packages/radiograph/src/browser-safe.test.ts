import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";

/** The folders that the web bundle imports; decoders and their packages live in the others. */
const browserSafe = ["display", "edge", "film", "landmarks", "phantom"];

const importsOf = (path: URL): readonly string[] =>
  [...readFileSync(path, "utf8").matchAll(/(?:from|import)\s*\(?\s*"([^"]+)"/g)].map(
    (match) => match[1]!,
  );

describe("folders for the browser", () => {
  for (const folder of browserSafe) {
    it(`keep ${folder} free of Node, decoders and anything outside these folders`, () => {
      const here = new URL(`./${folder}/`, import.meta.url);
      const files = readdirSync(here).filter(
        (name) => name.endsWith(".ts") && !name.endsWith(".test.ts"),
      );
      expect(files).toContain("index.ts");
      const foreign = files
        .flatMap((name) => importsOf(new URL(name, here)))
        .filter((target) => !/^\.\/[\w-]+\.ts$/.test(target))
        .filter((target) => !browserSafe.some((safe) => target.startsWith(`../${safe}/`)));
      expect(foreign).toEqual([]);
    });
  }
});
