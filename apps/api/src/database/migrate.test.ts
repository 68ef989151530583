import { describe, expect, it } from "vitest";
import { MigrationRefused, pendingMigrations, urlAs, type Migration } from "./migrate.ts";

const file = (name: string, checksum = name): Migration => ({ name, checksum, sql: "SELECT 1" });
const applied = (name: string, checksum = name, isFinished = true) => ({
  name,
  checksum,
  isFinished,
});

describe("which migrations are still to be applied", () => {
  it("on an empty database: all, in order", () => {
    expect(pendingMigrations([file("0001_a"), file("0002_b")], [])).toEqual([
      file("0001_a"),
      file("0002_b"),
    ]);
  });

  it("on a database of this version: none", () => {
    expect(pendingMigrations([file("0001_a")], [applied("0001_a")])).toEqual([]);
  });

  it("on a database of an older version: the later ones", () => {
    const pending = pendingMigrations([file("0001_a"), file("0002_b")], [applied("0001_a")]);
    expect(pending.map(({ name }) => name)).toEqual(["0002_b"]);
  });

  it.each([
    ["an applied file was edited", [file("0001_a", "new")], [applied("0001_a", "old")], "edited"],
    ["an applied file is missing", [], [applied("0001_a")], "not in this version's files"],
    [
      "another tool stopped half way",
      [file("0001_a")],
      [applied("0001_a", "0001_a", false)],
      "not finished",
    ],
    [
      "a new file sorts before an applied one",
      [file("0001_a"), file("0002_b")],
      [applied("0002_b")],
      "later name",
    ],
  ] as const)("refuses when %s", (_case, files, rows, message) => {
    expect(() => pendingMigrations(files, rows)).toThrow(MigrationRefused);
    expect(() => pendingMigrations(files, rows)).toThrow(message);
  });
});

describe("the same database under another login", () => {
  it("keeps host, port, database and options, and escapes the password", () => {
    expect(urlAs("postgresql://owner:x@db:5433/heelward?sslmode=require", "app", "a/b@c")).toBe(
      "postgresql://app:a%2Fb%40c@db:5433/heelward?sslmode=require",
    );
  });
});
