import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

// Source: WCAG 2.2, "relative luminance" and "contrast ratio"; 1.4.3 asks 4.5 for text, 1.4.11 asks
// 3 for the edges of fields. Sun mode asks 7 (1.4.6), for glare outdoors.
const css = readFileSync(fileURLToPath(new URL("tokens.css", import.meta.url)), "utf8");
const sunStart = css.indexOf(':root[data-theme="sun"] {\n  --paper');

type Theme = "light" | "dark" | "sun";

const tokensOf = (theme: Theme): ReadonlyMap<string, string> => {
  const pairs = [...css.matchAll(/--([\w-]+): light-dark\((#\w{6}), (#\w{6})\)/g)].map(
    ([, name = "", light = "", dark = ""]) => [name, theme === "dark" ? dark : light] as const,
  );
  const sun =
    theme === "sun"
      ? [...css.slice(sunStart).matchAll(/--([\w-]+): (#\w{6});/g)].map(
          ([, name = "", value = ""]) => [name, value] as const,
        )
      : [];
  return new Map([...pairs, ...sun]);
};

const luminance = (hex: string): number => {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((at) => {
    const channel = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
};

const contrast = (one: string, other: string): number => {
  const [light = 0, dark = 0] = [luminance(one), luminance(other)].toSorted((a, b) => b - a);
  return (light + 0.05) / (dark + 0.05);
};

const SHEETS = ["paper", "sheet", "sheet-2", "well"];
const TEXT: readonly (readonly [string, readonly string[]])[] = [
  ["text", [...SHEETS, "now-soft", "today-soft", "soon-soft", "fine-soft", "ink-soft"]],
  ["text-2", [...SHEETS, "now-soft", "today-soft", "soon-soft", "fine-soft", "ink-soft"]],
  ["ink", ["paper", "sheet", "ink-soft"]],
  ["on-ink", ["ink", "ink-hover"]],
  ["now", ["now-soft", "sheet", "paper"]],
  ["today", ["today-soft", "sheet"]],
  ["soon", ["soon-soft", "sheet"]],
  ["fine", ["fine-soft", "sheet"]],
];
const EDGES: readonly (readonly [string, readonly string[]])[] = [
  ["rule-strong", ["well", "sheet"]],
  ["focus", ["paper", "sheet"]],
];

describe.each([
  ["light", 4.5],
  ["dark", 4.5],
  ["sun", 7],
] as const)("the colours of the %s theme", (theme, least) => {
  const tokens = tokensOf(theme);
  const ratioOf = (front: string, back: string) =>
    contrast(tokens.get(front) ?? "#000000", tokens.get(back) ?? "#000000");

  it.each(TEXT)("let %s be read on every ground it stands on", (front, grounds) => {
    for (const ground of grounds)
      expect([ground, ratioOf(front, ground) >= least]).toEqual([ground, true]);
  });

  it.each(EDGES)("show %s as an edge", (front, grounds) => {
    for (const ground of grounds)
      expect([ground, ratioOf(front, ground) >= 3]).toEqual([ground, true]);
  });
});

describe("the formula itself", () => {
  it("gives 21 for black on white and 1 for a colour on itself", () => {
    expect(contrast("#000000", "#ffffff")).toBeCloseTo(21, 6);
    expect(contrast("#1d4258", "#1d4258")).toBe(1);
  });
});
