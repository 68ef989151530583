import { describe, expect, it } from "vitest";
import {
  checkMarker,
  lateromedialLandmarksOf,
  magnification,
  measureDorsopalmar,
  measureLateromedial,
  millimetresPerPixel,
  type FootShape,
  type MarkerScale,
  type Scale,
} from "./index.ts";

const SHAPE: FootShape = {
  wallAngleDegrees: 50,
  dorsalP3AngleDegrees: 55,
  p2AxisAngleDegrees: 52,
  palmarAngleDegrees: 6,
  soleDepthTipMm: 13,
  p3SolarLengthMm: 60,
  p3PalmarLengthMm: 60,
  hornLamellarDistalMm: 19,
  hornLamellarSpacingMm: 36,
  founderDistanceMm: 8,
  breakoverDistanceMm: 12,
  breakoverFromFrogTipMm: 34,
  bearingLengthMm: 112,
  heelHeightMm: 40,
  foreProportionPercent: 55,
  centreOfRotationHeightMm: 46,
  articularRadiusMm: 18,
  markerLengthMm: 40,
};
const POINTS = lateromedialLandmarksOf(SHAPE, {
  mmPerPx: 0.125,
  origin: { x: 1000, y: 1500 },
  facing: "right",
  tiltDegrees: 0,
});
const MARKER: MarkerScale = { kind: "marker", lengthMm: 40, lengthStandardUncertaintyMm: 0.1 };
const ends = (px: number) => ({ markerStart: { x: 0, y: 0 }, markerEnd: { x: px, y: 0 } });
const tipOf = (scale: Scale, landmarks = POINTS) =>
  measureLateromedial({ landmarks, scale, landmarkStandardUncertaintyPx: 2 }).find(
    (m) => m.key === "p3SolarLength",
  );

describe("scale", () => {
  it("gives 100 mm over 840 px as 0.11905 mm per pixel, and 126 px as 15.00 mm", () => {
    const perPx = millimetresPerPixel({ ...MARKER, lengthMm: 100 }, ends(840));
    expect(perPx.ok && perPx.value).toBeCloseTo(0.11905, 5);
    expect(perPx.ok && perPx.value * 126).toBeCloseTo(15, 9);
  });

  it("measures a known length within 0.5 mm from two points and a 40 mm marker", () => {
    const length = tipOf(MARKER);
    expect(Math.abs((length?.value ?? 0) - 60)).toBeLessThan(0.5);
  });

  it("corrects a marker nearer to the tube than the bone by the ratio of magnifications", () => {
    const offset: MarkerScale = { ...MARKER, planeOffsetMm: 50, focusToFootMm: 640 };
    const plain = millimetresPerPixel(MARKER, ends(320));
    const corrected = millimetresPerPixel(offset, ends(320));
    expect(corrected.ok && plain.ok && corrected.value / plain.value).toBeCloseTo(
      magnification(700, 110) / magnification(700, 60),
      12,
    );
  });

  it("divides a stated spacing by the stated magnification", () => {
    const perPx = millimetresPerPixel(
      { kind: "spacing", mmPerPx: 0.1, magnification: 1.0769, relativeStandardUncertainty: 0.02 },
      {},
    );
    expect(perPx.ok && perPx.value * 1076.9).toBeCloseTo(100, 9);
  });

  it.each<[string, Scale, Parameters<typeof millimetresPerPixel>[1]]>([
    ["no scale at all", { kind: "none" }, {}],
    ["one end of the marker", MARKER, { markerStart: { x: 0, y: 0 } }],
    ["a marker of no length on the film", MARKER, ends(0)],
    ["a marker of zero millimetres", { ...MARKER, lengthMm: 0 }, ends(100)],
    ["an offset without the distance to the tube", { ...MARKER, planeOffsetMm: 30 }, ends(100)],
    ["an offset beyond the tube", { ...MARKER, planeOffsetMm: 800, focusToFootMm: 700 }, ends(100)],
    [
      "a spacing of zero",
      { kind: "spacing", mmPerPx: 0, magnification: 1, relativeStandardUncertainty: 0.01 },
      {},
    ],
  ])("is refused with a reason: %s", (_name, scale, landmarks) => {
    const perPx = millimetresPerPixel(scale, landmarks);
    expect(perPx.ok).toBe(false);
    expect(!perPx.ok && perPx.reason.length).toBeGreaterThan(15);
  });

  it("lets every millimetre of a film without scale carry a reason in both views", () => {
    for (const m of measureDorsopalmar({ landmarks: {}, scale: { kind: "none" } })) {
      expect(m.value).toBeNull();
      expect(m.missing).toContain("not placed");
    }
  });

  it("adds the relative error of a nominal spacing to a length in squares (5 % of 60 mm is 3 mm)", () => {
    const spacing = (relativeStandardUncertainty: number): Scale => ({
      kind: "spacing",
      mmPerPx: 0.125,
      magnification: 1,
      relativeStandardUncertainty,
    });
    const exact = tipOf(spacing(0))?.standardUncertainty ?? 0;
    const nominal = tipOf(spacing(0.05))?.standardUncertainty ?? 0;
    expect(exact).toBeCloseTo(2 * 0.125 * Math.SQRT2, 9);
    expect(nominal).toBeCloseTo(Math.hypot(exact, 3), 9);
  });

  it("adds the error of the marker's length and ends to a length in squares", () => {
    const u = tipOf({ ...MARKER, lengthStandardUncertaintyMm: 0.4 })?.standardUncertainty ?? 0;
    const own = 2 * 0.125 * Math.SQRT2;
    // The marker's ends and length, 1 % each way, scale the 60 mm.
    const markerPart = 60 * Math.hypot((2 * Math.SQRT2) / 320, 0.4 / 40);
    expect(u).toBeCloseTo(Math.hypot(own, markerPart), 9);
  });

  it("takes single points as better known than others", () => {
    const coarse = measureLateromedial({ landmarks: POINTS, scale: MARKER });
    const refined = measureLateromedial({
      landmarks: POINTS,
      scale: MARKER,
      landmarkStandardUncertaintyPx: { p3Tip: 0.2, p3Wing: 0.2, groundToe: 0.2, groundHeel: 0.2 },
    });
    const u = (list: typeof coarse, key: string): number =>
      list.find((m) => m.key === key)?.standardUncertainty ?? Number.NaN;
    expect(u(refined, "palmarAngleFoot")).toBeLessThan(u(coarse, "palmarAngleFoot") / 5);
    expect(u(refined, "dorsalWallAngle")).toBeGreaterThan(u(coarse, "dorsalWallAngle") / 2);
    // Default: 0.4 mm a coordinate, whatever the size of the pixel.
    expect(u(coarse, "boneAngle")).toBeLessThan(1.5);
  });
});

describe("checkMarker", () => {
  const rules = (input: Parameters<typeof checkMarker>[0]): readonly string[] =>
    checkMarker(input).map((f) => `${f.outcome} ${f.rule}`);
  const wall: MarkerScale = { ...MARKER, place: "dorsal wall" };

  it("accepts a wall marker that starts at the coronary band and lies along the wall", () => {
    expect(rules({ landmarks: POINTS, scale: wall, detectorMmPerPx: 0.133 })).toEqual([]);
  });

  it("notices a wall marker that starts 3 mm too low", () => {
    const shift = { x: 3 * 8 * Math.cos(0.8727), y: 3 * 8 * Math.sin(0.8727) };
    const low = {
      ...POINTS,
      markerStart: { x: POINTS.markerStart.x + shift.x, y: POINTS.markerStart.y + shift.y },
      markerEnd: { x: POINTS.markerEnd.x + shift.x, y: POINTS.markerEnd.y + shift.y },
    };
    expect(rules({ landmarks: low, scale: wall })).toEqual(["warn radiograph/wall-marker-start@1"]);
    expect(rules({ landmarks: low, scale: MARKER })).toEqual([]);
  });

  it("notices a wall marker that does not follow the wall", () => {
    const off = { ...POINTS, markerEnd: { x: POINTS.markerEnd.x + 30, y: POINTS.markerEnd.y } };
    expect(rules({ landmarks: off, scale: wall })).toContain("warn radiograph/wall-marker-angle@1");
  });

  it("notices a tilted marker, because no film is smaller than life", () => {
    // Read 15° tilted: 96.59 % of its length, so the film seems smaller than life.
    const tilted = (share: number) => ({
      ...POINTS,
      markerEnd: {
        x: POINTS.markerStart.x + (POINTS.markerEnd.x - POINTS.markerStart.x) * share,
        y: POINTS.markerStart.y + (POINTS.markerEnd.y - POINTS.markerStart.y) * share,
      },
    });
    const at = (share: number) =>
      rules({ landmarks: tilted(share), scale: MARKER, detectorMmPerPx: 0.1266 });
    expect(at(1)).toEqual([]);
    expect(at(0.9659)).toEqual(["warn radiograph/marker-magnification@1"]);
    expect(rules({ landmarks: POINTS, scale: MARKER, detectorMmPerPx: 0.17 })).toEqual([
      "warn radiograph/marker-magnification@1",
    ]);
  });

  it("blocks a marker scale whose ends were not placed", () => {
    expect(rules({ landmarks: {}, scale: MARKER })).toEqual(["block radiograph/scale-required@1"]);
  });
});
