import { describe, expect, it } from "vitest";
import fc from "fast-check";
import { wedgeDegreesOf, wedgeHeightMm } from "../geometry/projection.ts";
import {
  heelToRemoveMm,
  palmarAngleAfterHeelDegrees,
  palmarAngleAfterRotationDegrees,
  stageHeel,
} from "./index.ts";

describe("heels", () => {
  it("takes 14.2 mm off an 88 mm base for 14 to 5 degrees, in three visits of at most 6", () => {
    // source: trigonometry, 88 × (tan 14° − tan 5°)
    const total = heelToRemoveMm(88, 14, 5);
    expect(total).toBeCloseTo(14.24, 2);
    expect(stageHeel(total)).toHaveLength(3);
    expect(stageHeel(total).reduce((sum, one) => sum + one, 0)).toBeCloseTo(total, 9);
    expect(Math.max(...stageHeel(total))).toBe(6);
    expect(heelToRemoveMm(88, 8, 5)).toBeCloseTo(4.67, 2);
  });

  it("takes 7.5 mm on a 60 mm lever for 12 to 5 degrees", () => {
    // source: trigonometry, 60 × (tan 12° − tan 5°)
    expect(heelToRemoveMm(60, 12, 5)).toBeCloseTo(7.5, 1);
  });

  it("turns a foot of 12 degrees to 9.14 with 5 mm off 100", () => {
    // source: trigonometry, 12° − atan(5 / 100)
    expect(palmarAngleAfterRotationDegrees(12, 5, 100)).toBeCloseTo(9.14, 2);
    // The planner's formula reads 9.23: 0.10 degrees higher, a seventh of one reading's error.
    expect(
      palmarAngleAfterHeelDegrees(12, 5, 100) - palmarAngleAfterRotationDegrees(12, 5, 100),
    ).toBeCloseTo(0.1, 1);
  });

  it("knows lift over length, and wedge heights", () => {
    // source: tangent table: 10 mm over 100 and 120 mm; wedges over 100 mm; 6 degrees over 120 mm
    expect(-palmarAngleAfterRotationDegrees(0, 10, 100)).toBeCloseTo(5.71, 2);
    expect(-palmarAngleAfterRotationDegrees(0, 10, 120)).toBeCloseTo(4.76, 2);
    expect(wedgeDegreesOf(10, 100)).toBeCloseTo(5.71, 2);
    for (const [angle, height] of [
      [1, 1.75],
      [2, 3.49],
      [3, 5.24],
      [5, 8.75],
      [6, 10.51],
      [10, 17.63],
      [12, 21.26],
      [15, 26.79],
    ] as const)
      expect(wedgeHeightMm(angle, 100)).toBeCloseTo(height, 2);
    expect(wedgeHeightMm(6, 120)).toBeCloseTo(12.61, 2);
  });

  it("agrees with the turned foot within one reading's error on usual feet, and always reads higher", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 3, max: 14, noNaN: true }),
        fc.double({ min: 0, max: 6, noNaN: true }),
        fc.double({ min: 70, max: 120, noNaN: true }),
        (angle, heel, base) => {
          const gap =
            palmarAngleAfterHeelDegrees(angle, heel, base) -
            palmarAngleAfterRotationDegrees(angle, heel, base);
          // The formula drops tan a · tan δ; while the angle stays positive it reads high.
          if (palmarAngleAfterRotationDegrees(angle, heel, base) > 0)
            expect(gap).toBeGreaterThanOrEqual(-1e-9);
          expect(Math.abs(gap)).toBeLessThan(0.7);
        },
      ),
    );
  });

  it("wants nothing off a foot that stands low enough, and no stage of nothing", () => {
    expect(heelToRemoveMm(88, 4, 5)).toBe(0);
    expect(stageHeel(0)).toEqual([]);
    expect(stageHeel(12, 6)).toEqual([6, 6]);
    expect(() => stageHeel(5, 0)).toThrow(RangeError);
  });
});
