import lpSolver, { type SolveResult } from "javascript-lp-solver";
import { describe, expect, it } from "vitest";
import fc from "fast-check";
import { solveTrim, TRIM_COSTS } from "./solve-trim.ts";
import type { TrimProgramme } from "./solve-trim.ts";

// The package's type file describes its CommonJS build, whose default export lies one level deeper
// than the one that an import of its ES module gives.
const solver = lpSolver as unknown as typeof lpSolver.default;

/** The same programme for a general simplex solver. source: javascript-lp-solver 1.0.3 (npm). */
const bySimplex = (programme: TrimProgramme): SolveResult =>
  solver.Solve({
    optimize: "cost",
    opType: "min",
    constraints: {
      heelWanted: { min: Math.max(0, programme.heelWantedMm) },
      heelMost: { max: Math.max(0, programme.heelMostMm) },
      toeWanted: { min: Math.max(0, programme.toeWantedMm) },
      toeMost: { max: Math.max(0, programme.toeMostMm) },
      dressMost: { max: Math.max(0, programme.dressMostMm) },
      bevelMost: { max: Math.max(0, programme.bevelMostMm) },
      hornMost: { max: Math.max(0, programme.hornMostMm) },
      setBackMost: { max: Math.max(0, programme.setBackMostMm) },
    },
    variables: {
      heel: { cost: TRIM_COSTS.heel, heelWanted: 1, heelMost: 1 },
      heelGap: { cost: 1, heelWanted: 1 },
      dress: { cost: TRIM_COSTS.dress, toeWanted: 1, toeMost: 1, dressMost: 1, hornMost: 1 },
      bevel: { cost: TRIM_COSTS.bevel, toeWanted: 1, toeMost: 1, bevelMost: 1, hornMost: 1 },
      setBack: { cost: TRIM_COSTS.setBack, toeWanted: 1, toeMost: 1, setBackMost: 1 },
      toeGap: { cost: 1, toeWanted: 1 },
    },
  }) as SolveResult;

describe("the trim programme", () => {
  it("finds the optimum of a general solver within 1e-6, amounts included", () => {
    const amount = fc.double({ min: -3, max: 40, noNaN: true });
    const programmes = fc.record({
      heelWantedMm: amount,
      heelMostMm: amount,
      toeWantedMm: amount,
      toeMostMm: amount,
      dressMostMm: amount,
      bevelMostMm: amount,
      hornMostMm: amount,
      setBackMostMm: amount,
    });
    fc.assert(
      fc.property(programmes, (programme) => {
        const ours = solveTrim(programme);
        const theirs = bySimplex(programme);
        expect(theirs.feasible).toBe(true);
        expect(Math.abs(ours.objective - theirs.result)).toBeLessThan(1e-6);
        const amountOf = (key: string) => Number(theirs[key] ?? 0);
        expect(Math.abs(ours.heelMm - amountOf("heel"))).toBeLessThan(1e-6);
        expect(Math.abs(ours.dressMm - amountOf("dress"))).toBeLessThan(1e-6);
        expect(Math.abs(ours.bevelMm - amountOf("bevel"))).toBeLessThan(1e-6);
        expect(Math.abs(ours.setBackMm - amountOf("setBack"))).toBeLessThan(1e-6);
      }),
      { numRuns: 1500 },
    );
  });
});
