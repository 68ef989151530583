import { describe, expect, it } from "vitest";

const FILES = import.meta.glob<Record<string, unknown>>("./{en,de}/*.ts", { eager: true });
const namespaces = (language: string) =>
  Object.keys(FILES).flatMap((path) => {
    const [, of, name] = /^\.\/(\w+)\/(\w+)\.ts$/.exec(path) ?? [];
    return of === language && name !== undefined ? [name] : [];
  });

const wordsOf = (language: string, namespace: string): unknown =>
  FILES[`./${language}/${namespace}.ts`]?.[namespace];

/** Every text with its path: `["reset.due", "Due today"]`. */
const flat = (value: unknown, path = ""): readonly (readonly [string, string])[] =>
  typeof value === "string"
    ? [[path, value]]
    : Object.entries((value ?? {}) as object).flatMap(([key, inner]) =>
        flat(inner, path === "" ? key : `${path}.${key}`),
      );

const placeholders = (text: string): readonly string[] =>
  [...text.matchAll(/\{\{(\w+)\}\}/g)].map(([, name = ""]) => name).toSorted();

/** Words that promise too much, blame, or frighten; "normal" is "inside our range". */
const AVOIDED =
  /\b(cured|safe dose|normal|stall|barn|coffin bone|non-compliant|lazy|just a trim)\b/i;

describe("the catalogues", () => {
  it.each(namespaces("en"))("en/%s exports its namespace, without empty texts", (name) => {
    const texts = flat(wordsOf("en", name));
    expect(texts.length).toBeGreaterThan(0);
    expect(texts.filter(([, text]) => text.trim() === "")).toEqual([]);
  });

  it.each(namespaces("en"))("en/%s uses none of the words we avoid", (name) => {
    const texts = flat(wordsOf("en", name));
    expect(texts.filter(([, text]) => AVOIDED.test(text))).toEqual([]);
  });

  it.each(namespaces("de"))(
    "de/%s has every text of the English one, with the same gaps to fill",
    (name) => {
      const english = flat(wordsOf("en", name));
      const german = new Map(flat(wordsOf("de", name)));
      expect([...german.keys()].toSorted()).toEqual(english.map(([path]) => path).toSorted());
      for (const [path, text] of english) {
        // A text for exactly one may say "a day" and leave the number out.
        const gaps = placeholders(text).filter((gap) => gap !== "count" || !path.endsWith("_one"));
        expect([path, placeholders(german.get(path) ?? "")]).toEqual([
          path,
          expect.arrayContaining([...gaps]),
        ]);
      }
    },
  );

  it("has in German what proves a second language: frame, sign-in, queue and owner's pages", () => {
    expect(namespaces("de")).toEqual(
      expect.arrayContaining([
        "common",
        "shell",
        "session",
        "queues",
        "portal",
        "care",
        "cases",
        "examinations",
        "firstAid",
        "handoffs",
        "horses",
        "yards",
        "people",
        "sharing",
        "devices",
        "components",
        "offline",
        "shoeing",
        "recovery",
        "routes",
        "glossary",
        "medication",
        "monitoring",
        "laboratory",
        "prescriptions",
        "procedures",
        "radiographs",
        "resets",
        "planning",
        "rota",
        "calendar",
        "settings",
        "audit",
      ]),
    );
  });
});
