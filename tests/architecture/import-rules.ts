import { posix } from "node:path";
import { importsOf, type Import } from "./imports-of.ts";

/** A source file, on disk or made up for a test. `path` is relative to the top folder. */
export interface SourceFile {
  readonly path: string;
  readonly text: string;
}

/** A package of this repository and what it may reach for. */
interface Room {
  readonly folder: string;
  readonly name: string;
  /** Rooms it may import at run time and in types. */
  readonly mayImport: readonly string[];
  /** Rooms it may import in types only. */
  readonly mayImportTypesOf: readonly string[];
  /** Pure rooms see neither the machine nor a clock: no `node:` modules. */
  readonly isPure: boolean;
}

const room = (folder: string, options: Partial<Omit<Room, "folder" | "name">> = {}): Room => ({
  folder,
  name: `@heelward/${posix.basename(folder)}`,
  mayImport: options.mayImport ?? [],
  mayImportTypesOf: options.mayImportTypesOf ?? [],
  isPure: options.isPure ?? false,
});

/** The arrows of the house. Whatever is not allowed here is forbidden. */
export const rooms: readonly Room[] = [
  room("packages/domain", { isPure: true }),
  room("packages/routing", { isPure: true }),
  room("packages/radiograph"),
  room("packages/contracts", { isPure: true, mayImport: ["@heelward/domain"] }),
  room("apps/api", {
    mayImport: [
      "@heelward/domain",
      "@heelward/routing",
      "@heelward/radiograph",
      "@heelward/contracts",
    ],
  }),
  room("apps/web", {
    mayImport: ["@heelward/domain", "@heelward/radiograph", "@heelward/contracts"],
    mayImportTypesOf: ["@heelward/routing"],
  }),
];

const isTest = (path: string): boolean => /\.test\.tsx?$/u.test(path);

const packageName = (specifier: string): string =>
  specifier
    .split("/")
    .slice(0, specifier.startsWith("@") ? 2 : 1)
    .join("/");

const crossesRooms = (own: Room, found: Import): string | undefined => {
  const target = packageName(found.specifier);
  if (!target.startsWith("@heelward/") || target === own.name) return undefined;
  if (own.mayImport.includes(target)) return undefined;
  if (own.mayImportTypesOf.includes(target)) {
    return found.isTypeOnly ? undefined : `${own.name} may take only types from ${target}`;
  }
  return `${own.name} may not import ${target}`;
};

const leavesPurity = (own: Room, path: string, found: Import): string | undefined =>
  own.isPure && !isTest(path) && found.specifier.startsWith("node:")
    ? `${own.name} is pure and may not import ${found.specifier}`
    : undefined;

const undeclared = (
  own: Room,
  path: string,
  found: Import,
  dependencies: ReadonlyMap<string, ReadonlySet<string>>,
): string | undefined => {
  const { specifier } = found;
  if (specifier.startsWith(".") || /^(node|virtual):/u.test(specifier)) return undefined;
  const target = packageName(specifier);
  if (target.startsWith("@heelward/")) return undefined;
  const declared = dependencies.get(own.folder)?.has(target) === true;
  const isTool = dependencies.get(".")?.has(target) === true;
  if (declared || (isTest(path) && isTool)) return undefined;
  // Types of an ambient package are declared once, at the top.
  if (found.isTypeOnly && isTool) return undefined;
  return `${target} is not among the dependencies of ${own.folder}/package.json`;
};

type InsideRule = (from: string, to: string) => string | undefined;

// `from` and `to` are paths inside one room's folder.
const apiRules: readonly InsideRule[] = [
  (from, to) =>
    from.endsWith("/store.ts") && /\/(service|routes)\.ts$/u.test(to)
      ? "a store may not import a service or routes"
      : undefined,
  (from, to) =>
    from.endsWith("/service.ts") && to.endsWith("/routes.ts")
      ? "a service may not import routes"
      : undefined,
  (from, to) =>
    from.endsWith("/routes.ts") && to.endsWith("/store.ts")
      ? "routes reach a store only through the service"
      : undefined,
  (from, to) => {
    const feature = (path: string): string | undefined =>
      /^src\/features\/([^/]+)\//u.exec(path)?.[1];
    const own = feature(from);
    const other = feature(to);
    if (own === undefined || other === undefined || own === other) return undefined;
    return /\/(store|routes)\.ts$/u.test(to)
      ? `feature ${own} may not reach into the store or routes of ${other}`
      : undefined;
  },
  (from, to) =>
    to.startsWith("src/generated/") && !from.startsWith("src/database/")
      ? "only src/database may import the generated client"
      : undefined,
  (from, to) =>
    /^src\/(main|run-service)\.ts$/u.test(to) && from !== "src/main.ts"
      ? "nothing may import the process itself"
      : undefined,
];

const webRules: readonly InsideRule[] = [
  (from, to) =>
    /^src\/(api|components|language|parts)\//u.test(from) && to.startsWith("src/features/")
      ? "shared parts may not import a feature"
      : undefined,
  (from, to) =>
    from.startsWith("src/features/") && /^src\/app\/(pages|router)\.tsx?$/u.test(to)
      ? "a feature may not import the page table that lists it"
      : undefined,
];

const insideRules = new Map<string, readonly InsideRule[]>([
  ["apps/api", apiRules],
  ["apps/web", webRules],
]);

const breaksInside = (own: Room, path: string, found: Import): readonly string[] => {
  if (!found.specifier.startsWith(".")) return [];
  const target = posix.join(posix.dirname(path), found.specifier);
  if (!target.startsWith(`${own.folder}/`)) return [`${target} lies outside ${own.folder}`];
  const from = path.slice(own.folder.length + 1);
  const to = target.slice(own.folder.length + 1);
  const broken = (insideRules.get(own.folder) ?? []).map((rule) => rule(from, to));
  if (isTest(to) && !isTest(from)) broken.push("sources may not import tests");
  return broken.filter((message) => message !== undefined);
};

const usesFrameworkInside = (path: string, found: Import): string | undefined =>
  /^apps\/api\/src\/.*\/(service|store)\.ts$/u.test(path) &&
  (found.specifier === "fastify" || found.specifier.startsWith("@fastify/"))
    ? "only routes and plugins know the web framework"
    : undefined;

/**
 * Every import that goes against the house, as `path: reason`.
 *
 * @param dependencies names each package.json declares, keyed by folder (`.` for the top)
 */
export const importViolations = (
  files: readonly SourceFile[],
  dependencies: ReadonlyMap<string, ReadonlySet<string>>,
): readonly string[] =>
  files.flatMap(({ path, text }) => {
    const own = rooms.find((each) => path.startsWith(`${each.folder}/`));
    if (own === undefined) throw new Error(`${path} lies in no room`);
    return importsOf(path, text).flatMap((found) =>
      [
        crossesRooms(own, found),
        leavesPurity(own, path, found),
        undeclared(own, path, found, dependencies),
        usesFrameworkInside(path, found),
        ...breaksInside(own, path, found),
      ]
        .filter((message) => message !== undefined)
        .map((message) => `${path}: ${message} (${found.specifier})`),
    );
  });
