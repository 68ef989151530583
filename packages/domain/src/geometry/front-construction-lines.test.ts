import { describe, expect, it } from "vitest";
import { dorsopalmarLandmarksOf, frontConstructionLines, measureDorsopalmar } from "./index.ts";

const MM_PER_PX = 0.1;
const POINTS = dorsopalmarLandmarksOf(
  {
    tiltDegrees: 3.5,
    marginsApartMm: 84,
    foraminaApartMm: 42,
    soleDepthMedialMm: 13,
    jointSpaceMedialMm: 3.2,
    jointSpaceLateralMm: 1.8,
    wallDistanceMedialMm: 19,
    wallDistanceLateralMm: 16,
    wallAngleMedialDegrees: 78,
    wallAngleLateralDegrees: 74,
    coronaryBandTiltDegrees: 2,
    coronaryBandHeightMm: 66,
    markerLengthMm: 50,
  },
  { mmPerPx: MM_PER_PX, origin: { x: 1000, y: 1200 }, facing: "left", tiltDegrees: 5 },
);

describe("frontConstructionLines", () => {
  it("draws each distance exactly as long as the measure says, also on a tilted film", () => {
    const values = new Map(
      measureDorsopalmar({
        landmarks: POINTS,
        scale: { kind: "marker", lengthMm: 50, lengthStandardUncertaintyMm: 0.1 },
      }).map((m) => [m.key, m]),
    );
    const lines = frontConstructionLines(POINTS);
    const distances = lines.filter((line) => values.get(line.measure)?.unit === "mm");
    expect(lines.length).toBe(9);
    expect(distances.length).toBe(6);
    for (const { measure, from, to } of distances) {
      const drawn = Math.hypot(to.x - from.x, to.y - from.y) * MM_PER_PX;
      expect(drawn).toBeCloseTo(values.get(measure)?.value ?? Number.NaN, 6);
    }
  });

  it("draws only what its points allow, and no gap across a joint of no width", () => {
    expect(frontConstructionLines({})).toEqual([]);
    const one = { x: 3, y: 4 };
    expect(
      frontConstructionLines({
        jointMedialUpper: one,
        jointMedialLower: one,
        jointLateralUpper: one,
        jointLateralLower: one,
      }),
    ).toEqual([]);
    expect(
      frontConstructionLines({
        foramenMedial: POINTS.foramenMedial,
        foramenLateral: POINTS.foramenLateral,
      }).map((line) => line.measure),
    ).toEqual(["p3TiltForamina"]);
  });
});
