import { createHash } from "node:crypto";
import { existsSync, readFileSync, readdirSync } from "node:fs";
import { join, matchesGlob } from "node:path";
import { describe, expect, it } from "vitest";
import { z } from "zod";
import vitestConfig from "../../vitest.config.ts";
import { filesBelow, jsonOf, root, textOf } from "./repository.ts";

const projects = z
  .object({
    test: z.object({
      projects: z.array(
        z.object({ test: z.object({ name: z.string(), include: z.array(z.string()) }) }),
      ),
    }),
  })
  .parse(vitestConfig)
  .test.projects.map((project) => project.test);

const everyFile = (): readonly string[] => filesBelow(".");

describe("the top level", () => {
  const people = ["README.md", "DEVELOPERS.md", "apps", "packages", "prisma", "tests"];
  const tools = [
    "docker-compose.yml",
    "knip.json",
    "package-lock.json",
    "package.json",
    "prisma.config.ts",
    "tsconfig.base.json",
    "tsconfig.json",
    "vitest.config.ts",
  ];
  const notOurs = ["node_modules", "coverage", "test-results"];

  it("holds exactly the rooms and files everyone knows, so that nothing is found by searching", () => {
    const present = readdirSync(root).filter(
      (name) => !name.startsWith(".") && !notOurs.includes(name),
    );
    expect(present.toSorted()).toEqual([...people, ...tools].toSorted());
  });
});

describe("words that have no place in the repository", () => {
  // Spelled in two halves, so that this list does not find itself.
  const words: readonly RegExp[] = [
    ["TO", "DO"],
    ["FIX", "ME"],
    ["lorem", " ipsum"],
    ["seed", " document"],
    ["trans", "cript"],
    ["\\.to", "MatchSnapshot"],
    ["\\.to", "MatchInlineSnapshot"],
    ["\\b(it|test|describe)\\.(sk", "ip|on", "ly|to", "do)\\b"],
    ["-----BEGIN [A-Z ]*PRIVATE", " KEY-----\\n[A-Za-z0-9+/]"],
    ["registry\\.[a-z]+\\.", "(org|com)"],
    ["(?<![\\w.])/wo", "rk/"],
    ["\\.\\./sha", "red/reference"],
  ].map((halves) => new RegExp(halves.join(""), "u"));

  const isText = (path: string): boolean =>
    /\.(ts|tsx|mjs|js|json|md|sql|prisma|yml|css|html|toml|sh|py)$|Dockerfile$|^\.[a-z]|\.ci\/run$/u.test(
      path,
    );

  it("are in no file", () => {
    const found = everyFile()
      .filter(isText)
      .flatMap((path) => {
        const text = textOf(path);
        return words.filter((word) => word.test(text)).map((word) => `${path}: ${word.source}`);
      });
    expect(found).toEqual([]);
  });

  it.each([
    ["// TO" + "DO: later"],
    ["it.sk" + 'ip("x")'],
    ["expect(x).to" + "MatchSnapshot()"],
    ["https://registry.example." + "org/x"],
    ["see /wo" + "rk/main"],
  ])("and would be noticed: %s", (text) => {
    expect(words.some((word) => word.test(text))).toBe(true);
  });

  it("the lock file names packages by version and digest, never by a server", () => {
    expect(textOf("package-lock.json")).not.toMatch(/"resolved": "https?:/u);
  });
});

describe("every test runs when `npm test` runs", () => {
  const runAll = textOf("tests/run-all.mjs");
  const isTestFile = (path: string): boolean => /\.test\.(ts|tsx|mjs|js)$/u.test(path);

  it("each project is one of its steps", () => {
    for (const { name } of projects) expect(runAll).toContain(`vitest("${name}")`);
  });

  it("each test file belongs to exactly one project", () => {
    const homeless = everyFile()
      .filter(isTestFile)
      .map((path) => ({
        path,
        homes: projects.filter(({ include }) => include.some((glob) => matchesGlob(path, glob))),
      }))
      .filter(({ homes }) => homes.length !== 1)
      .map(({ path, homes }) => `${path} (${homes.length} projects)`);
    expect(homeless).toEqual([]);
  });

  it("no package hides a test command of its own", () => {
    const commands = everyFile()
      .filter((path) => path.endsWith("package.json"))
      .flatMap((path) => {
        const { scripts } = z
          .object({ scripts: z.record(z.string(), z.string()).default({}) })
          .parse(jsonOf(path));
        return Object.entries(scripts)
          .filter(([name]) => /test|check|lint|verify/u.test(name))
          .map(([name, command]) => ({ path, name, command }));
      });
    const reachable = (command: string): boolean => {
      const project = /vitest run --project (\w+)$/u.exec(command)?.[1];
      if (project !== undefined) return runAll.includes(`vitest("${project}")`);
      const words = command.split(" ");
      if (command === "node tests/run-all.mjs") return true;
      return words.every((word) => runAll.includes(`"${word}"`));
    };
    expect(commands.length).toBeGreaterThan(3);
    expect(commands.filter(({ command }) => !reachable(command))).toEqual([]);
  });

  it("the machine that checks changes runs the same command as a person", () => {
    expect(textOf(".ci/run")).toMatch(/^npm test\b/mu);
  });
});

describe("migrations are history", () => {
  const recorded = z
    .record(z.string(), z.string())
    .parse(jsonOf("tests/architecture/migration-checksums.json"));
  const folder = join(root, "prisma/migrations");
  const present = readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name);

  it("each is recorded with its SHA-256 and unchanged; add new ones to migration-checksums.json", () => {
    const now = Object.fromEntries(
      present.toSorted().map((name) => [
        name,
        createHash("sha256")
          .update(readFileSync(join(folder, name, "migration.sql")))
          .digest("hex"),
      ]),
    );
    expect(now).toEqual(recorded);
  });

  it("each has a name that sorts in the order of its making", () => {
    for (const name of present) expect(name).toMatch(/^\d{4}_[a-z0-9_]+$/u);
  });
});

describe("the house has its papers", () => {
  it.each(["README.md", "DEVELOPERS.md"])("%s names no file that does not exist", (path) => {
    const links = [...textOf(path).matchAll(/\]\((?!https?:|#|mailto:)([^)#\s]+)/gu)].map(
      (match) => match[1] ?? "",
    );
    expect(links.filter((link) => !existsSync(join(root, link)))).toEqual([]);
  });
});
