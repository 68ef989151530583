import { describe, expect, it } from "vitest";
import { compareAsDone, isWorse } from "./index.ts";
import type { FootAsDone, FootPlan } from "./index.ts";

const plan: FootPlan = {
  foot: "LF",
  toeBackMm: 4.5,
  breakoverFromP3TipMm: 6,
  heelRemoveMm: 3,
  palmarAngleTargetDegrees: { low: 4, high: 6 },
  soleMinMm: 12,
  wedgeDegrees: 0,
  shoe: "glue-on",
  supportFill: "back-two-thirds",
  fixing: "glue",
  doNots: [],
};
const asPlanned: FootAsDone = {
  foot: "LF",
  breakoverBeforeMm: 10.5,
  breakoverAfterMm: 6,
  heelRemovedMm: 3,
  soleTouched: false,
  shoe: "glue-on",
  supportFill: "back-two-thirds",
  fixing: "glue",
};

describe("the work beside the plan", () => {
  it("asks for nothing when the work is as planned, from two numbers alone", () => {
    const comparison = compareAsDone(plan, asPlanned);
    expect(comparison.deviations).toEqual([]);
    expect(comparison.needsNote).toBe(false);
    expect(comparison.rows.every((row) => row.within)).toBe(true);
  });

  it("accepts the edge of a tolerance and asks for a reason past it", () => {
    expect(compareAsDone(plan, { ...asPlanned, breakoverAfterMm: 8 }).needsNote).toBe(false);
    const past = compareAsDone(plan, { ...asPlanned, breakoverAfterMm: 8.1 });
    expect(past.needsNote).toBe(true);
    expect(past.deviations).toEqual(["LF breakover: planned 6.0 mm, done 8.1 mm."]);
    expect(compareAsDone(plan, { ...asPlanned, heelRemovedMm: 4.5 }).needsNote).toBe(true);
    expect(
      compareAsDone(
        plan,
        { ...asPlanned, breakoverAfterMm: 8.1 },
        {
          breakoverMm: 3,
          toeBackMm: 2,
          heelMm: 1,
          angleDegrees: 2,
          wedgeDegrees: 0.5,
        },
      ).needsNote,
    ).toBe(false);
  });

  it("compares angle, sole and toe only where they were measured", () => {
    const filmed = compareAsDone(plan, {
      ...asPlanned,
      palmarAngleDegrees: 8.5,
      soleDepthTipMm: 11,
      toeBackMm: 9,
    });
    expect(filmed.rows.filter((row) => !row.within).map((row) => row.quantity)).toEqual([
      "toe back",
      "palmar angle",
      "sole under the tip",
    ]);
    expect(
      compareAsDone(plan, { ...asPlanned, palmarAngleDegrees: 2.5 }).rows.find(
        (row) => row.quantity === "palmar angle",
      )?.difference,
    ).toBeCloseTo(-1.5, 12);
  });

  it("does not let a figure that nobody wrote down pass as done", () => {
    const { breakoverAfterMm: _, ...silent } = asPlanned;
    expect(compareAsDone(plan, silent).deviations[0]).toContain("not recorded");
  });

  it("names another shoe, a touched sole and an unplanned heel raise", () => {
    const changed = compareAsDone(plan, {
      ...asPlanned,
      shoe: "heart-bar",
      soleTouched: true,
      wedgeDegrees: 3,
    });
    expect(changed.deviations).toHaveLength(3);
    expect(changed.wedgeRemoval.required).toBe(false);
  });

  it("asks for the heel raise out at once when any sign of pain got worse", () => {
    const worse = compareAsDone(
      { ...plan, wedgeDegrees: 6 },
      {
        ...asPlanned,
        wedgeDegrees: 6,
        comfortBefore: { obelGrade: 2, weightShiftsPerMinute: 2 },
        comfortAfter: { obelGrade: 2, weightShiftsPerMinute: 5 },
      },
    );
    expect(worse.wedgeRemoval.required).toBe(true);
    expect(worse.wedgeRemoval.detail).toContain("take it out now");
    expect(worse.needsNote).toBe(true);
    expect(worse.deviations).toEqual([]);
  });

  it("calls a horse worse only on signs recorded before and after", () => {
    expect(isWorse({ obelGrade: 1 }, { obelGrade: 2 })).toBe(true);
    expect(isWorse({ fiveSignScore: 6 }, { fiveSignScore: 7 })).toBe(true);
    expect(isWorse({ obelGrade: 2 }, { obelGrade: 2 })).toBe(false);
    expect(isWorse(undefined, { obelGrade: 3 })).toBe(false);
  });

  it("refuses to compare two different feet", () => {
    expect(() => compareAsDone(plan, { ...asPlanned, foot: "RF" })).toThrow(RangeError);
  });
});
