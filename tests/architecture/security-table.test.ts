import { existsSync, statSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { root, textOf } from "./repository.ts";

const rows = textOf("apps/api/README.md")
  .split("\n")
  .filter((line) => line.startsWith("|"))
  .slice(2)
  .map((line) => line.split("|").map((cell) => cell.trim()));

it("has a test that is there, or a reason, for every promise of the security table", () => {
  expect(rows.length).toBeGreaterThan(30);
  const empty = rows.filter(([, , , shownBy = ""]) => {
    if (shownBy.startsWith("reason: ")) return shownBy.length < 20;
    const files = [...shownBy.matchAll(/`([^`]+\.test\.ts)`/gu)].map((match) => match[1] ?? "");
    return (
      files.length === 0 ||
      !files.every((file) => {
        const path = join(root, file.includes("/") ? file : `tests/api/${file}`);
        return existsSync(path) && statSync(path).size > 500;
      })
    );
  });
  expect(empty.map(([, , promise]) => promise)).toEqual([]);
});
