import { describe, expect, it } from "vitest";
import {
  apparentAngleDegrees,
  foreshortening,
  magnification,
  markerPlaneFactor,
  palmarAngleFromSolesDegrees,
  rotationFromWallDistancesDegrees,
  trueLengthMm,
  wedgeDegreesOf,
  wedgeHeightMm,
  wingSplitMm,
} from "./index.ts";

/** Check values worked by hand from central projection and right triangles. */
describe("projection from a point source", () => {
  it("magnifies by SID ÷ (SID − OID)", () => {
    expect(magnification(700, 50)).toBeCloseTo(1.0769, 4);
    expect(magnification(1000, 60)).toBeCloseTo(1.0638, 4);
    expect(trueLengthMm(107.69, magnification(700, 50))).toBeCloseTo(100, 2);
  });

  it("shows the scale error of a marker nearer the tube than the bone", () => {
    // SID 700, marker at OID 110, bone at OID 60: the marker is 50 mm nearer, the bone 640 from the focus.
    expect(markerPlaneFactor(640, 50)).toBeCloseTo(1.0847, 4);
    expect(magnification(700, 110) / magnification(700, 60)).toBeCloseTo(
      markerPlaneFactor(640, 50),
      12,
    );
    expect(1 - 1 / markerPlaneFactor(640, 50)).toBeCloseTo(0.078, 3);
  });

  it("shortens a tilted marker by the cosine", () => {
    expect(foreshortening(15)).toBeCloseTo(0.9659, 4);
  });

  it("steepens angles of a foot turned out of the plate plane", () => {
    expect(apparentAngleDegrees(50, 10)).toBeCloseTo(50.43, 2);
    expect(apparentAngleDegrees(5, 10)).toBeCloseTo(5.08, 2);
  });

  it("splits the wings the less, the lower the beam", () => {
    expect(wingSplitMm(1000, 100, 30, 50)).toBeCloseTo(4.01, 2);
    expect(wingSplitMm(1000, 100, 30, 20)).toBeCloseTo(1.6, 2);
  });
});

describe("wedges and angles from heights", () => {
  it.each([
    [1, 1.75],
    [2, 3.49],
    [3, 5.24],
    [5, 8.75],
    [6, 10.51],
    [10, 17.63],
    [12, 21.26],
    [15, 26.79],
  ])("raises the heel by tan of a %i° wedge over 100 mm", (degrees, height) => {
    expect(wedgeHeightMm(degrees, 100)).toBeCloseTo(height, 2);
    expect(wedgeDegreesOf(wedgeHeightMm(degrees, 100), 100)).toBeCloseTo(degrees, 10);
  });

  it("gives the angle of a 10 mm lift and the height over another length", () => {
    expect(wedgeHeightMm(6, 120)).toBeCloseTo(12.61, 2);
    expect(wedgeDegreesOf(10, 100)).toBeCloseTo(5.71, 2);
    expect(wedgeDegreesOf(10, 120)).toBeCloseTo(4.76, 2);
  });

  it("gives the palmar angle from two sole depths, negative when the wing is lower", () => {
    expect(palmarAngleFromSolesDegrees(12, 17.2, 60)).toBeCloseTo(4.97, 2);
    expect(palmarAngleFromSolesDegrees(15, 10, 60)).toBeCloseTo(-4.78, 2);
  });

  it("gives the rotation of wall distances written 22/30 for three spacings", () => {
    expect(rotationFromWallDistancesDegrees(22, 30, 45)).toBeCloseTo(10.08, 2);
    expect(rotationFromWallDistancesDegrees(22, 30, 40)).toBeCloseTo(11.31, 2);
    expect(rotationFromWallDistancesDegrees(22, 30, 50)).toBeCloseTo(9.09, 2);
    expect(rotationFromWallDistancesDegrees(18, 18, 37)).toBe(0);
  });
});
