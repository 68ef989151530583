import { describe, expect, it } from "vitest";
import {
  constructionLines,
  lateromedialLandmarksOf,
  measureLateromedial,
  type FootShape,
} from "./index.ts";

const SHAPE: FootShape = {
  wallAngleDegrees: 49,
  dorsalP3AngleDegrees: 56,
  p2AxisAngleDegrees: 52,
  palmarAngleDegrees: 7,
  soleDepthTipMm: 12,
  p3SolarLengthMm: 58,
  p3PalmarLengthMm: 61,
  hornLamellarDistalMm: 21,
  hornLamellarSpacingMm: 35,
  founderDistanceMm: 11,
  breakoverDistanceMm: 17,
  breakoverFromFrogTipMm: 33,
  bearingLengthMm: 108,
  heelHeightMm: 41,
  foreProportionPercent: 58,
  centreOfRotationHeightMm: 47,
  articularRadiusMm: 17,
  markerLengthMm: 50,
};
const MM_PER_PX = 0.11;
const POINTS = lateromedialLandmarksOf(SHAPE, {
  mmPerPx: MM_PER_PX,
  origin: { x: 1300, y: 1500 },
  facing: "left",
  tiltDegrees: -7,
});

describe("constructionLines", () => {
  it("draws each distance exactly as long as the measure says", () => {
    const values = new Map(
      measureLateromedial({
        landmarks: POINTS,
        scale: { kind: "marker", lengthMm: 50, lengthStandardUncertaintyMm: 0.1 },
      })
        .filter((m) => m.unit === "mm")
        .map((m) => [m.key as string, m.value]),
    );
    const distances = constructionLines(POINTS).filter((line) => values.has(line.measure));
    expect(distances.length).toBe(12);
    for (const line of distances) {
      const drawn = Math.hypot(line.to.x - line.from.x, line.to.y - line.from.y) * MM_PER_PX;
      expect(drawn).toBeCloseTo(values.get(line.measure) ?? Number.NaN, 6);
    }
  });

  it("draws only what its points allow", () => {
    expect(constructionLines({})).toEqual([]);
    const some = constructionLines({ p3Tip: POINTS.p3Tip, p3Wing: POINTS.p3Wing });
    expect(some.map((line) => line.measure)).toEqual(["palmarAngleGround"]);
  });
});
