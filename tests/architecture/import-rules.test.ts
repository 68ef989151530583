import { describe, expect, it } from "vitest";
import { z } from "zod";
import { importViolations, rooms } from "./import-rules.ts";
import { importsOf } from "./imports-of.ts";
import { filesBelow, jsonOf, textOf } from "./repository.ts";

const manifest = z.object({
  dependencies: z.record(z.string(), z.string()).default({}),
  devDependencies: z.record(z.string(), z.string()).default({}),
});

const declaredIn = (folder: string): ReadonlySet<string> => {
  const { dependencies, devDependencies } = manifest.parse(jsonOf(`${folder}/package.json`));
  return new Set([...Object.keys(dependencies), ...Object.keys(devDependencies)]);
};

const dependencies = new Map(
  [".", ...rooms.map((room) => room.folder)].map((folder) => [folder, declaredIn(folder)]),
);

const isSource = (path: string): boolean => /\.tsx?$/u.test(path) && !path.endsWith(".d.ts");

describe("imports run one way", () => {
  it.each(rooms.map((room) => room.folder))("in %s", (folder) => {
    const files = filesBelow(`${folder}/src`)
      .filter(isSource)
      .map((path) => ({ path, text: textOf(path) }));
    expect(files.length).toBeGreaterThan(0);
    expect(importViolations(files, dependencies)).toEqual([]);
  });
});

describe("each rule says no to a file that breaks it", () => {
  const broken: readonly (readonly [rule: string, path: string, text: string])[] = [
    [
      "domain imports contracts",
      "packages/domain/src/cycle/a.ts",
      `import { x } from "@heelward/contracts";`,
    ],
    [
      "domain imports contracts for a type",
      "packages/domain/src/cycle/a.ts",
      `import type { X } from "@heelward/contracts";`,
    ],
    [
      "domain imports contracts inside a type",
      "packages/domain/src/cycle/a.ts",
      `type X = import("@heelward/contracts").X;`,
    ],
    [
      "domain reads a file",
      "packages/domain/src/cycle/a.ts",
      `import { readFileSync } from "node:fs";`,
    ],
    [
      "routing imports domain",
      "packages/routing/src/a.ts",
      `export { x } from "@heelward/domain/time";`,
    ],
    [
      "radiograph imports domain",
      "packages/radiograph/src/a.ts",
      `export * from "@heelward/domain/geometry";`,
    ],
    [
      "contracts import routing",
      "packages/contracts/src/a.ts",
      `const x = await import("@heelward/routing");`,
    ],
    ["contracts reach the machine", "packages/contracts/src/a.ts", `import "node:os";`],
    ["api imports web", "apps/api/src/a.ts", `import { x } from "@heelward/web";`],
    ["web imports api", "apps/web/src/a.tsx", `import type { X } from "@heelward/api";`],
    ["web runs the router", "apps/web/src/a.tsx", `import { solve } from "@heelward/routing";`],
    [
      "a path leaves its room",
      "packages/domain/src/cycle/a.ts",
      `import { x } from "../../../contracts/src/index.ts";`,
    ],
    ["a package is not declared", "packages/routing/src/a.ts", `import { DateTime } from "luxon";`],
    [
      "a tool is used by a source",
      "packages/domain/src/cycle/a.ts",
      `import fc from "fast-check";`,
    ],
    [
      "a source imports a test",
      "packages/domain/src/cycle/a.ts",
      `import { x } from "./b.test.ts";`,
    ],
    [
      "a store imports its service",
      "apps/api/src/features/cases/store.ts",
      `import { x } from "./service.ts";`,
    ],
    [
      "a service imports routes",
      "apps/api/src/features/cases/service.ts",
      `import type { X } from "./routes.ts";`,
    ],
    [
      "routes skip the service",
      "apps/api/src/features/cases/routes.ts",
      `import { x } from "./store.ts";`,
    ],
    [
      "a feature uses another's store",
      "apps/api/src/features/cases/service.ts",
      `import { x } from "../horses/store.ts";`,
    ],
    [
      "a service knows the framework",
      "apps/api/src/features/cases/service.ts",
      `import type { FastifyRequest } from "fastify";`,
    ],
    [
      "a feature imports the generated client",
      "apps/api/src/features/cases/store.ts",
      `import type { X } from "../../generated/client.ts";`,
    ],
    [
      "a feature imports the process",
      "apps/api/src/features/cases/store.ts",
      `import { x } from "../../run-service.ts";`,
    ],
    [
      "a shared part imports a feature",
      "apps/web/src/components/a.tsx",
      `import { x } from "../features/cases/Page.tsx";`,
    ],
    [
      "a feature imports the app",
      "apps/web/src/features/cases/Page.tsx",
      `import { x } from "../../app/router.tsx";`,
    ],
  ];

  it.each(broken)("%s", (_rule, path, text) => {
    expect(importViolations([{ path, text }], dependencies)).toHaveLength(1);
  });

  it("and yes to the arrows that are drawn", () => {
    const allowed = [
      {
        path: "apps/web/src/a.tsx",
        text: `import type { Plan } from "@heelward/routing"; import { x } from "@heelward/contracts";`,
      },
      {
        path: "apps/api/src/features/cases/service.ts",
        text: `import { x } from "./store.ts"; import { y } from "../horses/service.ts"; import { z } from "@heelward/domain/cycle";`,
      },
      {
        path: "packages/contracts/src/a.ts",
        text: `import { x } from "@heelward/domain/access"; import { z } from "zod";`,
      },
      {
        path: "packages/domain/src/cycle/a.test.ts",
        text: `import fc from "fast-check"; import { readFileSync } from "node:fs";`,
      },
    ];
    expect(importViolations(allowed, dependencies)).toEqual([]);
  });
});

describe("reading imports", () => {
  it("finds every way of asking for a module, and tells types apart", () => {
    const text = `
      import a, { type B } from "one";
      import type C from "two";
      import { type D } from "three";
      export { d } from "four";
      export type * from "five";
      const e = await import("six");
      type F = import("seven").G;
      import "eight";
      const h = require("nine");
      // import "a comment"
      const s = 'import "a string"';
    `;
    const found = importsOf("a.ts", text).map(
      ({ specifier, isTypeOnly }) => `${specifier}${isTypeOnly ? " (types)" : ""}`,
    );
    expect(found).toEqual([
      "one",
      "two (types)",
      "three (types)",
      "four",
      "five (types)",
      "six",
      "seven (types)",
      "eight",
      "nine",
    ]);
  });

  it("refuses a target it cannot read, because a hole in the check is worse than a complaint", () => {
    expect(() => importsOf("a.ts", "await import(name);")).toThrow("computed");
  });

  it("refuses a file that does not parse", () => {
    expect(() => importsOf("a.ts", "import {")).toThrow("does not parse");
  });
});
