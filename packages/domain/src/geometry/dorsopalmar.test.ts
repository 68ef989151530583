import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  DORSOPALMAR_LANDMARKS,
  dorsopalmarLandmarksOf,
  measureDorsopalmar,
  type DorsopalmarMeasure,
  type FrontShape,
} from "./index.ts";

const within = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const SHAPE: FrontShape = {
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
};
const place = (
  shape: FrontShape,
  facing: "left" | "right" = "right",
  tiltDegrees = 0,
  mmPerPx = 0.1,
) => dorsopalmarLandmarksOf(shape, { mmPerPx, origin: { x: 1000, y: 1200 }, facing, tiltDegrees });
const read = (landmarks: ReturnType<typeof place>) => {
  const list = measureDorsopalmar({
    landmarks,
    scale: { kind: "marker", lengthMm: 50, lengthStandardUncertaintyMm: 0.1 },
  });
  return (key: DorsopalmarMeasure): number => list.find((m) => m.key === key)?.value ?? Number.NaN;
};

describe("measureDorsopalmar", () => {
  it("reads the support limb that sank on the inside: tilt 3.5°, gaps 3.2 and 1.8 mm", () => {
    const m = read(place(SHAPE));
    expect(m("p3Tilt")).toBeCloseTo(3.5, 9);
    expect(m("p3TiltForamina")).toBeCloseTo(3.5, 9);
    // Foramina 42 mm apart: the outside stands 42·sin(3.5°) = 2.56 mm higher.
    expect(42 * Math.sin((m("p3TiltForamina") * Math.PI) / 180)).toBeCloseTo(2.56, 2);
    expect(m("jointSpaceMedial")).toBeCloseTo(3.2, 9);
    expect(m("jointSpaceLateral")).toBeCloseTo(1.8, 9);
    expect(m("jointSpaceDifference")).toBeCloseTo(1.4, 9);
    expect(m("soleDepthMedial")).toBeCloseTo(13, 9);
    expect(m("soleDepthDifference")).toBeCloseTo(-84 * Math.sin((3.5 * Math.PI) / 180), 9);
    expect(m("wallDistanceMedial")).toBeCloseTo(19, 9);
    expect(m("wallDistanceDifference")).toBeCloseTo(3, 9);
    expect(m("coronaryBandTilt")).toBeCloseTo(2, 9);
  });

  it("reads the same however the film is turned, mirrored or scaled", () => {
    fc.assert(
      fc.property(
        within(-8, 8),
        within(-5, 5),
        within(-180, 180),
        within(0.04, 0.3),
        fc.constantFrom("left" as const, "right" as const),
        (tilt, band, turn, mmPerPx, facing) => {
          const shape = { ...SHAPE, tiltDegrees: tilt, coronaryBandTiltDegrees: band };
          const m = read(place(shape, facing, turn, mmPerPx));
          expect(m("p3Tilt")).toBeCloseTo(tilt, 6);
          expect(m("coronaryBandTilt")).toBeCloseTo(band, 6);
          expect(m("jointSpaceMedial")).toBeCloseTo(3.2, 6);
          expect(m("wallDistanceMedial")).toBeCloseTo(19, 6);
          expect(m("wallDistanceLateral")).toBeCloseTo(16, 6);
          expect(m("soleDepthMedial")).toBeCloseTo(13, 6);
        },
      ),
    );
  });

  it("gives no verdict on any of them: no published limit was found", () => {
    const list = measureDorsopalmar({
      landmarks: place(SHAPE),
      scale: { kind: "none" },
      animal: { kind: "horse" },
    });
    expect(list.filter((m) => m.verdict !== "no reference")).toEqual([]);
    expect(list.filter((m) => (m.value === null) !== (m.unit === "mm"))).toEqual([]);
  });

  it("refuses sole depth through a shoe when the line is on the ground", () => {
    const list = measureDorsopalmar({
      landmarks: place(SHAPE),
      scale: { kind: "marker", lengthMm: 50, lengthStandardUncertaintyMm: 0.1 },
      shod: true,
    });
    expect(list.find((m) => m.key === "soleDepthMedial")?.missing).toContain("top of the shoe");
    expect(list.find((m) => m.key === "soleDepthDifference")?.value).toBeLessThan(0);
  });

  it("says for every point what it is needed for", () => {
    expect(DORSOPALMAR_LANDMARKS).toHaveLength(16);
    expect(DORSOPALMAR_LANDMARKS.filter((l) => l.requiredFor.length === 0)).toEqual([]);
  });
});
