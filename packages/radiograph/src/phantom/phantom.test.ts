import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { dorsopalmarKeys, lateromedialKeys } from "../landmarks/landmarks.ts";
import { sampleMeasures, smallFilm } from "../testing/films.ts";
import {
  dorsopalmarGeometry,
  lateromedialGeometry,
  phantomFromMeasures,
  randomLateromedialMeasures,
  randomStream,
  renderPhantom,
} from "./index.ts";
import { coverageOf } from "./raster-fill.ts";
import type { Point } from "./shapes.ts";

const degrees = (radians: number): number => (radians * 180) / Math.PI;
/** Acute angle of a falling line to the ground, from its upper and its lower point. */
const slopeOf = (upper: Point, lower: Point): number =>
  degrees(Math.atan2(upper.y - lower.y, lower.x - upper.x));
/** Distance of a point from the line through two others. */
const offLine = (point: Point, a: Point, b: Point): number =>
  Math.abs((point.x - a.x) * (b.y - a.y) - (point.y - a.y) * (b.x - a.x)) /
  Math.hypot(b.x - a.x, b.y - a.y);

describe("side-view phantoms", () => {
  // Independent reading: plain trigonometry on the landmarks, against the measures asked for.
  it("have the measures that were asked for, over five hundred random feet", () => {
    const random = randomStream(11);
    for (let trial = 0; trial < 500; trial += 1) {
      const asked = randomLateromedialMeasures(random);
      const { landmarksMm: at, truth } = lateromedialGeometry(asked);
      expect(slopeOf(at.coronaryBand, at.wallDistal)).toBeCloseTo(asked.wallAngleDegrees, 9);
      expect(slopeOf(at.p3DorsalProximal, at.p3Tip)).toBeCloseTo(asked.boneFrontAngleDegrees, 9);
      expect(slopeOf(at.extensorProcess, at.p3Tip)).toBeCloseTo(asked.boneFrontAngleDegrees, 9);
      expect(slopeOf(at.p3Wing, at.p3Tip)).toBeCloseTo(asked.palmarAngleDegrees, 9);
      expect(at.p3Tip.y).toBeCloseTo(asked.soleTipMm, 9);
      expect(at.p3Wing.y).toBeCloseTo(asked.soleWingMm, 9);
      expect(offLine(at.p3Tip, at.coronaryBand, at.wallDistal)).toBeCloseTo(
        asked.wallToBoneBottomMm,
        9,
      );
      expect(offLine(at.p3DorsalProximal, at.coronaryBand, at.wallDistal)).toBeCloseTo(
        asked.wallToBoneTopMm,
        9,
      );
      expect(at.coronaryBand.y - at.extensorProcess.y).toBeCloseTo(asked.founderDistanceMm, 9);
      expect(at.breakover.x - at.p3Tip.x).toBeCloseTo(asked.breakoverDistanceMm, 9);
      expect(Math.hypot(at.p3Wing.x - at.p3Tip.x, at.p3Wing.y - at.p3Tip.y)).toBeCloseTo(
        asked.solarLengthMm,
        9,
      );
      expect(
        slopeOf(at.p2AxisProximal, at.p2AxisDistal) + asked.phalangealRotationDegrees!,
      ).toBeCloseTo(asked.boneFrontAngleDegrees, 9);
      for (const which of [1, 2, 3, 4, 5] as const) {
        const { x, y } = at[`p2Articular${which}`];
        const centre = truth.centreOfRotationMm;
        expect(Math.hypot(x - centre.x, y - centre.y)).toBeCloseTo(truth.jointRadiusMm, 9);
      }
      expect(at.markerEnd.x - at.markerStart.x).toBeCloseTo(100, 9);
    }
  });

  it("share out what rounded readings contradict, within the rounding", () => {
    // Readings of the demonstration data, rounded to half a millimetre and half a degree.
    const { truth } = lateromedialGeometry(sampleMeasures);
    for (const key of [
      "wallToBoneTopMm",
      "wallToBoneBottomMm",
      "soleTipMm",
      "soleWingMm",
    ] as const) {
      expect(Math.abs(truth[key] - sampleMeasures[key])).toBeLessThan(0.5);
    }
    expect(truth.wallToBoneBottomMm - truth.wallToBoneTopMm).toBeCloseTo(
      34 * Math.tan((6.5 * Math.PI) / 180),
      9,
    );
  });

  it("stand on a wedge with every ground angle raised by it and the sole unchanged", () => {
    const raised = {
      ...sampleMeasures,
      palmarAngleDegrees: 14,
      boneFrontAngleDegrees: 61,
      wallAngleDegrees: 54.5,
      wedgeDegrees: 6,
    };
    const { landmarksMm: at, truth } = lateromedialGeometry(raised);
    const flat = lateromedialGeometry(sampleMeasures).truth;
    expect(truth.soleWingMm).toBeCloseTo(flat.soleWingMm, 9);
    expect(truth.capsularRotationDegrees).toBeCloseTo(flat.capsularRotationDegrees, 9);
    // Square distance from the wing to the surface of the wedge, which rises 6° from the breakover.
    const heelOnWedge = {
      x: at.breakover.x - 100,
      y: 100 * Math.tan((6 * Math.PI) / 180),
    };
    expect(offLine(at.p3Wing, at.breakover, heelOnWedge)).toBeCloseTo(truth.soleWingMm, 9);
    expect(offLine(at.p3Tip, at.breakover, heelOnWedge)).toBeCloseTo(truth.soleTipMm, 9);
    expect(at.coronaryBand.y - at.extensorProcess.y).toBeCloseTo(10.5, 9);
  });

  it("keep every landmark on the film", () => {
    const random = randomStream(3);
    for (let trial = 0; trial < 12; trial += 1) {
      const measures = randomLateromedialMeasures(random);
      const { landmarksPx, film } = phantomFromMeasures(measures, {
        render: { widthPx: 300, heightPx: 250, detectorPitchMm: 0.68 },
      });
      for (const key of lateromedialKeys) {
        expect(landmarksPx[key].x).toBeGreaterThan(2);
        expect(landmarksPx[key].x).toBeLessThan(film.widthPx - 3);
        expect(landmarksPx[key].y).toBeGreaterThan(2);
        expect(landmarksPx[key].y).toBeLessThan(film.heightPx - 3);
      }
    }
  });

  it("measure the same when the toe points to the other side", () => {
    const geometry = lateromedialGeometry(sampleMeasures);
    const size = { widthPx: 120, heightPx: 100, detectorPitchMm: 1.7 };
    const right = renderPhantom(geometry, { ...size, pointsTo: "right" });
    const left = renderPhantom(geometry, { ...size, pointsTo: "left" });
    for (const key of lateromedialKeys) {
      expect(left.landmarksPx[key].x).toBeCloseTo(119 - right.landmarksPx[key].x, 9);
      expect(left.landmarksPx[key].y).toBeCloseTo(right.landmarksPx[key].y, 9);
    }
  });

  it("scale with pitch over magnification, and a turned beam foreshortens", () => {
    const geometry = lateromedialGeometry(sampleMeasures);
    const size = { widthPx: 240, heightPx: 200, detectorPitchMm: 0.9 };
    const plain = renderPhantom(geometry, { ...size, magnification: 1.2 });
    expect(plain.mmPerPx).toBeCloseTo(0.75, 12);
    const lengthPx = plain.landmarksPx.markerEnd.x - plain.landmarksPx.markerStart.x;
    expect(lengthPx * plain.mmPerPx).toBeCloseTo(100, 9);
    const turned = renderPhantom(geometry, { ...size, magnification: 1.2, obliquityDegrees: 10 });
    const turnedPx = turned.landmarksPx.markerEnd.x - turned.landmarksPx.markerStart.x;
    expect(turnedPx / lengthPx).toBeCloseTo(Math.cos((10 * Math.PI) / 180), 9);
  });

  it("repeat exactly with the same seed and differ with another", () => {
    expect(smallFilm({ seed: 4 }).pixels).toEqual(smallFilm({ seed: 4 }).pixels);
    expect(smallFilm({ seed: 5 }).pixels).not.toEqual(smallFilm({ seed: 4 }).pixels);
  });

  it("show bone brighter than horn, horn brighter than air, and metal brightest", () => {
    const { film, landmarksPx, mmPerPx } = phantomFromMeasures(sampleMeasures);
    const meanAround = ({ x, y }: Point, dxMm: number, dyMm: number): number => {
      let sum = 0;
      for (let row = -3; row <= 3; row += 1) {
        for (let column = -3; column <= 3; column += 1) {
          const px = Math.round(x + dxMm / mmPerPx) + column;
          const py = Math.round(y - dyMm / mmPerPx) + row;
          sum += film.pixels[py * film.widthPx + px]!;
        }
      }
      return sum / 49;
    };
    const bone = meanAround(landmarksPx.p3Tip, -18, 8);
    const horn = meanAround(landmarksPx.p3Tip, 6, 4);
    const air = meanAround(landmarksPx.breakover, 25, 25);
    const metal = meanAround(landmarksPx.markerStart, 20, 0);
    expect(metal).toBeGreaterThan(1.3 * bone);
    expect(bone).toBeGreaterThan(1.3 * horn);
    expect(horn).toBeGreaterThan(1.3 * air);
    expect(film.bitsStored).toBeGreaterThanOrEqual(12);
    expect(new Set(film.pixels).size).toBeGreaterThan(4096);
  });
});

describe("front-view phantoms", () => {
  it("have the tilt, joint spaces and distances that were asked for", () => {
    // Demonstration data: foramina 42 mm apart, 3.5° low on the inside, hence 2.56 mm of height.
    const asked = {
      tiltDegrees: 3.5,
      foraminaApartMm: 42,
      jointSpaceMedialMm: 3.2,
      jointSpaceLateralMm: 1.8,
      soleMiddleMm: 16,
      wallMedialMm: 17,
      wallLateralMm: 16,
    };
    const { landmarksMm: at, truth } = dorsopalmarGeometry(asked);
    const between = (a: Point, b: Point): number => Math.hypot(a.x - b.x, a.y - b.y);
    expect(between(at.foramenMedial, at.foramenLateral)).toBeCloseTo(42, 9);
    expect(at.foramenLateral.y - at.foramenMedial.y).toBeCloseTo(
      42 * Math.sin((3.5 * Math.PI) / 180),
      9,
    );
    expect(truth.foraminaHeightDifferenceMm).toBeCloseTo(2.564, 3);
    expect(between(at.jointMedialUpper, at.jointMedialLower)).toBeCloseTo(3.2, 9);
    expect(between(at.jointLateralUpper, at.jointLateralLower)).toBeCloseTo(1.8, 9);
    expect(at.p3MarginMedial.y).toBeCloseTo(truth.soleMedialMm, 9);
    expect(at.p3MarginLateral.y).toBeCloseTo(truth.soleLateralMm, 9);
    expect(at.p3MarginMedial.x - at.wallMedial.x).toBeCloseTo(17, 9);
    expect(at.wallLateral.x - at.p3MarginLateral.x).toBeCloseTo(16, 9);
    expect(Object.keys(at).toSorted()).toEqual([...dorsopalmarKeys].toSorted());
  });
});

describe("filling outlines", () => {
  // Reference: the shoelace formula for the area of a polygon.
  it("covers exactly the area of any triangle, whichever way it is wound", () => {
    const coordinate = fc.double({ min: 1, max: 39, noNaN: true });
    const corner = fc.record({ x: coordinate, y: coordinate });
    fc.assert(
      fc.property(fc.tuple(corner, corner, corner), ([a, b, c]) => {
        const area = Math.abs((b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y)) / 2;
        const filled = coverageOf([a, b, c], 40, 40);
        const covered = filled?.coverage.reduce((sum, share) => sum + share, 0) ?? 0;
        expect(Math.abs(covered - area)).toBeLessThan(0.02);
      }),
      { numRuns: 500 },
    );
  });

  it("cuts off what lies outside the picture", () => {
    const square = [
      { x: -10, y: -10 },
      { x: 5.25, y: -10 },
      { x: 5.25, y: 4.5 },
      { x: -10, y: 4.5 },
    ];
    const covered = coverageOf(square, 20, 20)!.coverage.reduce((sum, share) => sum + share, 0);
    expect(covered).toBeCloseTo(5.25 * 4.5, 4);
    expect(
      coverageOf(
        square.map(({ x, y }) => ({ x: x - 50, y })),
        20,
        20,
      ),
    ).toBeUndefined();
  });
});
