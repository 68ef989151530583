import type { TrimInput } from "@heelward/domain/trim";
import { trimOutcome } from "@heelward/domain/trim";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { doNotsFrom, proposedFoot, withFoot, withHeel, withToeBack } from "./plan-draft.ts";

const reading = (value: number) => ({ value, standardUncertainty: 0.5 });
/** An invented foot with rotation and a long toe. */
const input: TrimInput = {
  foot: "LF",
  measures: {
    palmarAngleDegrees: reading(9),
    dorsalWallAngleDegrees: reading(51),
    dorsalP3AngleDegrees: reading(58),
    soleDepthTipMm: reading(14.5),
    soleDepthWingMm: reading(23),
    hornLamellarProximalMm: reading(17),
    hornLamellarDistalMm: reading(21),
    breakoverDistanceMm: reading(28),
    bearingLengthMm: reading(108),
    p3SolarLengthMm: reading(54),
    frogTipToP3TipMm: reading(12),
  },
  phase: "chronic active",
  animal: "horse",
  weightKg: 480,
  emergency: false,
  shoe: "rolled-bar",
  supportFill: "full",
  fixing: "glue",
  intervalDays: 28,
  ceilingDays: 35,
};

describe("a plan while it is edited", () => {
  it("starts from the planner's own figures", () => {
    const plan = proposedFoot(input, 22);
    expect(plan.breakoverFromP3TipMm).toBeCloseTo(28 - plan.toeBackMm, 1);
    expect(plan.limitMm).toBe(22);
    expect(plan.wedgeDegrees).toBe(0);
  });

  it("keeps toe and breakover one statement: what comes off the toe moves breakover back", () => {
    const start = proposedFoot(input, null);
    fc.assert(
      fc.property(fc.double({ min: 0, max: 40, noNaN: true }), (mm) => {
        const plan = withToeBack(start, mm, input);
        expect(plan.toeBackMm * 2).toBe(Math.round(plan.toeBackMm * 2));
        expect(plan.breakoverFromP3TipMm).toBeCloseTo(28 - plan.toeBackMm, 1);
        if (plan.breakoverFromFrogTipMm !== null && plan.breakoverFromFrogTipMm > 0)
          expect(plan.breakoverFromFrogTipMm - plan.breakoverFromP3TipMm).toBeCloseTo(12, 1);
      }),
    );
  });

  it("gives amounts that the planner takes without complaint", () => {
    const plan = withHeel(withToeBack(proposedFoot(input, null), 11.3, input), 4.26);
    expect(plan.heelRemoveMm).toBe(4.5);
    expect(trimOutcome(input, plan).after.palmarAngleDegrees).toBeLessThan(9);
  });

  it("changes one foot and leaves the other alone", () => {
    const left = proposedFoot(input, null);
    const right = { ...left, foot: "RF" as const };
    const content = {
      aim: "unload the toe",
      feet: [left, right],
      doNot: [],
      conditions: {},
      intervalDays: 28,
      urgent: false,
      radiographIds: [],
    };
    const next = withFoot(content, withHeel(right, 3));
    expect(next.feet[0]).toBe(left);
    expect(next.feet[1]?.heelRemoveMm).toBe(3);
  });

  it("offers each do-not once, and not again when it is written down", () => {
    const offered = doNotsFrom({ doNot: [] }, [input, { ...input, foot: "RF" }]);
    expect(new Set(offered).size).toBe(offered.length);
    expect(doNotsFrom({ doNot: [...offered] }, [input])).toEqual([]);
  });
});
