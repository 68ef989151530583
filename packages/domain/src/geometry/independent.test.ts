import {
  line as lineOf,
  point as pointOf,
  Polygon,
  type Line,
  type Point as LibraryPoint,
} from "@flatten-js/core";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  lateromedialLandmarksOf,
  measureLateromedial,
  measureLucentLine,
  type FilmPlacement,
  type FootShape,
  type LateromedialLandmark,
  type LateromedialMeasure,
  type Point,
} from "./index.ts";

const within = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const shapes: fc.Arbitrary<FootShape> = fc
  .record({
    wallAngleDegrees: within(42, 60),
    rotation: within(-4, 16),
    p2AxisAngleDegrees: within(40, 65),
    palmarAngleDegrees: within(-4, 18),
    soleDepthTipMm: within(5, 25),
    p3SolarLengthMm: within(38, 68),
    p3PalmarLengthMm: within(45, 70),
    hornLamellarDistalMm: within(12, 30),
    hornLamellarSpacingMm: within(24, 45),
    founderDistanceMm: within(-3, 24),
    breakoverDistanceMm: within(0, 48),
    breakoverFromFrogTipMm: within(20, 52),
    bearingLengthMm: within(80, 140),
    heelHeightMm: within(22, 62),
    foreProportionPercent: within(40, 70),
    centreOfRotationHeightMm: within(36, 56),
    articularRadiusMm: within(13, 24),
    markerLengthMm: within(30, 70),
  })
  .map(({ rotation, ...rest }) => ({
    ...rest,
    dorsalP3AngleDegrees: rest.wallAngleDegrees + rotation,
  }))
  // No bone stands outside its wall, and a wall is longer than a point.
  .filter((s) => {
    const rotation = ((s.dorsalP3AngleDegrees - s.wallAngleDegrees) * Math.PI) / 180;
    const top = s.hornLamellarDistalMm - s.hornLamellarSpacingMm * Math.tan(rotation);
    const points = lateromedialLandmarksOf(s, {
      mmPerPx: 1,
      origin: { x: 0, y: 0 },
      facing: "right",
      tiltDegrees: 0,
    });
    return top > 3 && points.wallDistal.y - points.coronaryBand.y > 10;
  });
const placements: fc.Arbitrary<FilmPlacement> = fc.record({
  mmPerPx: within(0.05, 0.25),
  origin: fc.record({ x: within(200, 2500), y: within(200, 2500) }),
  facing: fc.constantFrom("left" as const, "right" as const),
  tiltDegrees: within(-180, 180),
});
const measured = (points: Record<LateromedialLandmark, Point>, lengthMm: number) =>
  new Map(
    measureLateromedial({
      landmarks: points,
      scale: { kind: "marker", lengthMm, lengthStandardUncertaintyMm: 0.1 },
    }).map((m) => [m.key, m]),
  );

/** The measures that differ from what is expected by more than a rounding error. */
const apartFrom = (
  expected: Partial<Record<LateromedialMeasure, number>>,
  read: ReturnType<typeof measured>,
): readonly string[] =>
  Object.entries(expected)
    .map(([key, value]) => [key, value, read.get(key as LateromedialMeasure)?.value] as const)
    .filter(([, value, own]) => !(Math.abs((own ?? Number.NaN) - value) < 1e-5))
    .map(([key, value, own]) => `${key}: expected ${value}, read ${own}`);

describe("against the measures a foot was built from", () => {
  it("reads back every measure, however the film is turned or mirrored", () => {
    fc.assert(
      fc.property(shapes, placements, (shape, placement) => {
        const read = measured(lateromedialLandmarksOf(shape, placement), shape.markerLengthMm);
        const expected: Partial<Record<LateromedialMeasure, number>> = {
          dorsalWallAngle: shape.wallAngleDegrees,
          dorsalP3Angle: shape.dorsalP3AngleDegrees,
          p2AxisAngle: shape.p2AxisAngleDegrees,
          palmarAngleGround: shape.palmarAngleDegrees,
          capsularRotation: shape.dorsalP3AngleDegrees - shape.wallAngleDegrees,
          soleDepthTip: shape.soleDepthTipMm,
          p3SolarLength: shape.p3SolarLengthMm,
          p3PalmarLength: shape.p3PalmarLengthMm,
          hornLamellarDistal: shape.hornLamellarDistalMm,
          hornLamellarSpacing: shape.hornLamellarSpacingMm,
          founderDistance: shape.founderDistanceMm,
          breakoverDistance: shape.breakoverDistanceMm,
          breakoverFromFrogTip: shape.breakoverFromFrogTipMm,
          bearingLength: shape.bearingLengthMm,
          heelHeight: shape.heelHeightMm,
          foreProportion: shape.foreProportionPercent,
          centreOfRotationHeight: shape.centreOfRotationHeightMm,
          articularRadius: shape.articularRadiusMm,
        };
        expect(apartFrom(expected, read)).toEqual([]);
      }),
    );
  });
});

describe("against a general geometry library (@flatten-js/core)", () => {
  it("agrees on distances, projections and angles taken straight from the pixels", () => {
    fc.assert(
      fc.property(shapes, placements, (shape, placement) => {
        const points = lateromedialLandmarksOf(shape, placement);
        const read = measured(points, shape.markerLengthMm);
        const p = (key: LateromedialLandmark): LibraryPoint =>
          pointOf(points[key].x, points[key].y);
        const through = (a: LateromedialLandmark, b: LateromedialLandmark): Line =>
          lineOf(p(a), p(b));
        const apart = (a: LibraryPoint, b: LibraryPoint | Line): number => a.distanceTo(b)[0];
        const perPx = shape.markerLengthMm / apart(p("markerStart"), p("markerEnd"));
        const ground = through("groundHeel", "groundToe");
        const wall = through("coronaryBand", "wallDistal");
        const along = (a: LateromedialLandmark, b: LateromedialLandmark): number =>
          apart(p(a).projectionOn(ground), p(b).projectionOn(ground));
        const acute = (a: Line, b: Line): number => {
          const turn = ((a.slope - b.slope) * 180) / Math.PI;
          const positive = ((turn % 180) + 180) % 180;
          return Math.min(positive, 180 - positive);
        };
        const expected: Partial<Record<LateromedialMeasure, number>> = {
          hornLamellarProximal: apart(p("p3DorsalProximal"), wall) * perPx,
          hornLamellarDistal: apart(p("p3Tip"), wall) * perPx,
          soleDepthTip: apart(p("p3Tip"), ground) * perPx,
          toeHeight: apart(p("coronaryBand"), ground) * perPx,
          heelHeight: apart(p("coronaryBandHeel"), ground) * perPx,
          founderDistance:
            (apart(p("coronaryBand"), ground) - apart(p("extensorProcess"), ground)) * perPx,
          bearingLength: along("heel", "breakover") * perPx,
          breakoverDistance: along("p3Tip", "breakover") * perPx,
          p3SolarLength: apart(p("p3Tip"), p("p3Wing")) * perPx,
          hornLamellarSpacing:
            apart(p("p3Tip").projectionOn(wall), p("p3DorsalProximal").projectionOn(wall)) * perPx,
          dorsalWallAngle: acute(wall, ground),
          dorsalP3Angle: acute(through("p3DorsalProximal", "p3Tip"), ground),
        };
        // A wing below ground has no sign in a plain distance.
        const wing = read.get("soleDepthWing")?.value ?? Number.NaN;
        expect(apartFrom(expected, read)).toEqual([]);
        expect(Math.abs(wing)).toBeCloseTo(apart(p("p3Wing"), ground) * perPx, 5);
      }),
    );
  });

  it("agrees on the area of an outlined shadow", () => {
    fc.assert(
      fc.property(
        fc.array(within(5, 60), { minLength: 3, maxLength: 40 }),
        within(0.05, 0.3),
        (radii, mmPerPx) => {
          const outline = radii.map((radius, i) => {
            const turn = (2 * Math.PI * i) / radii.length;
            return { x: 800 + radius * Math.cos(turn), y: 600 + radius * Math.sin(turn) };
          });
          const library = new Polygon(outline.map((q) => pointOf(q.x, q.y)));
          const result = measureLucentLine({
            outline,
            coronaryBand: { x: 760, y: 400 },
            wallDistal: { x: 900, y: 900 },
            scale: {
              kind: "spacing",
              mmPerPx,
              magnification: 1,
              relativeStandardUncertainty: 0.02,
            },
          });
          const expected = library.area() * mmPerPx * mmPerPx;
          expect((result.areaMm2?.value ?? Number.NaN) / expected).toBeCloseTo(1, 9);
        },
      ),
    );
  });
});
