import { describe, expect, it } from "vitest";
import { FIGURE_NOTES, ORDERED_PAIRS } from "./figure-notes.ts";
import { FIGURES, unlabelledFigures } from "./registry.ts";

describe("the figures a practice may see and change", () => {
  it("leave no number of the rules out", () => {
    expect(unlabelledFigures()).toEqual([]);
  });

  it("have no line for a number that is no more", () => {
    expect(Object.keys(FIGURE_NOTES).filter((key) => !FIGURES.has(key))).toEqual([]);
    expect(ORDERED_PAIRS.flat().filter((key) => !FIGURES.has(key))).toEqual([]);
  });

  it("say for each that may only be tightened which way that is, or on purpose that nobody knows", () => {
    const unsaid = [...FIGURES.values()].filter(
      (figure) =>
        figure.change === "tighten" &&
        figure.stricter === null &&
        FIGURE_NOTES[figure.key]?.stricter !== null,
    );
    expect(unsaid).toEqual([]);
  });

  it("have a citation each, and start in an order that holds", () => {
    for (const figure of FIGURES.values()) expect(figure.source.citation.length).toBeGreaterThan(5);
    for (const [low, high] of ORDERED_PAIRS)
      expect(FIGURES.get(low)?.value, `${low} and ${high}`).toBeLessThanOrEqual(
        FIGURES.get(high)?.value ?? Number.NaN,
      );
  });

  // source: phenylbutazone data sheets as the formulary cites them; a limit in mg/kg is stricter when lower
  it("offer every dose limit for lowering, never for raising", () => {
    const limits = [...FIGURES.values()].filter((figure) =>
      figure.key.startsWith("medication.ceiling."),
    );
    expect(limits.length).toBeGreaterThan(30);
    for (const limit of limits)
      expect(limit).toMatchObject({ change: "tighten", stricter: "lower", isApplied: true });
    expect(FIGURES.get("medication.ceiling.pbz/horse-days-2-5.mg-per-kg")?.value).toBe(4.4);
  });
});
