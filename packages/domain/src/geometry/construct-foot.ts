import type { Point } from "./circle-fit.ts";
import type { LateromedialLandmark, DorsopalmarLandmark } from "./landmarks.ts";

/**
 * The way back: landmarks that show given measures. Used for demonstration films and to test the
 * measuring against known truth. Lengths in mm, angles in degrees; angles are those of the foot, so a
 * wedge is to be added by drawing the ground line on the foot surface.
 */
export interface FootShape {
  readonly wallAngleDegrees: number;
  readonly dorsalP3AngleDegrees: number;
  readonly p2AxisAngleDegrees: number;
  readonly palmarAngleDegrees: number;
  readonly soleDepthTipMm: number;
  readonly p3SolarLengthMm: number;
  readonly p3PalmarLengthMm: number;
  readonly hornLamellarDistalMm: number;
  /** Along the wall between the top and bottom wall-to-bone readings. */
  readonly hornLamellarSpacingMm: number;
  readonly founderDistanceMm: number;
  readonly breakoverDistanceMm: number;
  readonly breakoverFromFrogTipMm: number;
  readonly bearingLengthMm: number;
  readonly heelHeightMm: number;
  readonly foreProportionPercent: number;
  readonly centreOfRotationHeightMm: number;
  readonly articularRadiusMm: number;
  readonly markerLengthMm: number;
}

/** Where and how the foot lies on the image. */
export interface FilmPlacement {
  readonly mmPerPx: number;
  /** Pixel at which the ground point under the tip of P3 lies. */
  readonly origin: Point;
  readonly facing: "left" | "right";
  /** Turn of the whole image, anticlockwise as seen. */
  readonly tiltDegrees: number;
}

const radians = (degrees: number): number => (degrees * Math.PI) / 180;
const polar = (from: Point, degrees: number, length: number): Point => ({
  x: from.x + length * Math.cos(radians(degrees)),
  y: from.y + length * Math.sin(radians(degrees)),
});

/** Foot frame (x to the toe, y up, mm) to image pixels (y down). */
const toImage =
  (placement: FilmPlacement) =>
  (point: Point): Point => {
    const turn = radians(placement.tiltDegrees);
    const x = placement.facing === "right" ? point.x : -point.x;
    return {
      x: placement.origin.x + (x * Math.cos(turn) - point.y * Math.sin(turn)) / placement.mmPerPx,
      y: placement.origin.y - (x * Math.sin(turn) + point.y * Math.cos(turn)) / placement.mmPerPx,
    };
  };

const mapValues = <K extends string>(
  points: Record<K, Point>,
  move: (point: Point) => Point,
): Record<K, Point> =>
  Object.fromEntries(
    Object.entries<Point>(points).map(([key, point]) => [key, move(point)]),
  ) as Record<K, Point>;

/** Lateromedial landmarks in image pixels of a foot with these measures. */
export const lateromedialLandmarksOf = (
  shape: FootShape,
  placement: FilmPlacement,
): Record<LateromedialLandmark, Point> => {
  const { wallAngleDegrees: wallAngle, dorsalP3AngleDegrees: p3Angle } = shape;
  const rotation = p3Angle - wallAngle;
  const tip: Point = { x: 0, y: shape.soleDepthTipMm };
  const dorsalLength = shape.hornLamellarSpacingMm / Math.cos(radians(rotation));
  const dorsal = polar(tip, 180 - p3Angle, dorsalLength);
  const extensor = polar(polar(dorsal, 180 - p3Angle, 5), 180, 2);
  const wallAtTip = polar(tip, 90 - wallAngle, shape.hornLamellarDistalMm);
  const bandY = extensor.y + shape.founderDistanceMm;
  const upWall = (bandY - wallAtTip.y) / Math.sin(radians(wallAngle));
  const band = polar(wallAtTip, 180 - wallAngle, upWall);
  const breakover: Point = { x: tip.x + shape.breakoverDistanceMm, y: 0 };
  const heel: Point = { x: breakover.x - shape.bearingLengthMm, y: 0 };
  const centre: Point = {
    x: breakover.x - (shape.foreProportionPercent / 100) * shape.bearingLengthMm,
    y: shape.centreOfRotationHeightMm,
  };
  const onJoint = (degrees: number): Point => polar(centre, degrees, shape.articularRadiusMm);
  const p2Up = 180 - shape.p2AxisAngleDegrees;
  const points: Record<LateromedialLandmark, Point> = {
    coronaryBand: band,
    wallDistal: polar(wallAtTip, -wallAngle, 6),
    extensorProcess: extensor,
    p3DorsalProximal: dorsal,
    p3Tip: tip,
    p3Wing: polar(tip, 180 - shape.palmarAngleDegrees, shape.p3SolarLengthMm),
    breakover,
    heel,
    p2Articular1: onJoint(-20),
    p2Articular2: onJoint(-55),
    p2Articular3: onJoint(-90),
    p2Articular4: onJoint(-125),
    p2Articular5: onJoint(-160),
    p2AxisProximal: polar(centre, p2Up, 42),
    p2AxisDistal: polar(centre, p2Up, 2),
    navicularArticulation: polar(tip, 180 - shape.palmarAngleDegrees - 22, shape.p3PalmarLengthMm),
    groundToe: { x: breakover.x + 12, y: 0 },
    groundHeel: { x: heel.x - 14, y: 0 },
    markerStart: band,
    markerEnd: polar(band, -wallAngle, shape.markerLengthMm),
    frogTip: { x: breakover.x - shape.breakoverFromFrogTipMm, y: 3 },
    coronaryBandHeel: { x: heel.x + 9, y: shape.heelHeightMm },
  };
  return mapValues(points, toImage(placement));
};

/** Front view of a foot: tilts positive when the inside is lower. */
export interface FrontShape {
  readonly tiltDegrees: number;
  readonly marginsApartMm: number;
  readonly foraminaApartMm: number;
  readonly soleDepthMedialMm: number;
  readonly jointSpaceMedialMm: number;
  readonly jointSpaceLateralMm: number;
  readonly wallDistanceMedialMm: number;
  readonly wallDistanceLateralMm: number;
  readonly wallAngleMedialDegrees: number;
  readonly wallAngleLateralDegrees: number;
  readonly coronaryBandTiltDegrees: number;
  readonly coronaryBandHeightMm: number;
  readonly markerLengthMm: number;
}

/** Dorsopalmar landmarks in image pixels; `facing: "right"` puts the lateral side on the right. */
export const dorsopalmarLandmarksOf = (
  shape: FrontShape,
  placement: FilmPlacement,
): Record<DorsopalmarLandmark, Point> => {
  const half = shape.marginsApartMm / 2;
  const tilt = shape.tiltDegrees;
  const medial: Point = { x: -half, y: shape.soleDepthMedialMm };
  const lateral = polar(medial, tilt, shape.marginsApartMm);
  const middle = polar(medial, tilt, half);
  const foramina = polar(middle, 90 + tilt, 12);
  const joint = polar(middle, 90 + tilt, 30);
  const jointMedial = polar(joint, 180 + tilt, 14);
  const jointLateral = polar(joint, tilt, 14);
  /** Outer wall line: square to it, at the given distance from the margin, sloping outwards. */
  const outside = (margin: Point, angle: number, distance: number, side: 1 | -1): Point => ({
    x: margin.x + side * distance * Math.sin(radians(angle)),
    y: margin.y + distance * Math.cos(radians(angle)),
  });
  const along = (from: Point, angle: number, side: 1 | -1, y: number): Point => ({
    x: from.x - (side * (y - from.y)) / Math.tan(radians(angle)),
    y,
  });
  const wallAtMedial = outside(
    medial,
    shape.wallAngleMedialDegrees,
    shape.wallDistanceMedialMm,
    -1,
  );
  const wallAtLateral = outside(
    lateral,
    shape.wallAngleLateralDegrees,
    shape.wallDistanceLateralMm,
    1,
  );
  const coronetMedial = along(
    wallAtMedial,
    shape.wallAngleMedialDegrees,
    -1,
    shape.coronaryBandHeightMm,
  );
  // The lateral wall line is met by the line through the medial coronet at the stated tilt.
  const slope = Math.tan(radians(shape.coronaryBandTiltDegrees));
  const lean = 1 / Math.tan(radians(shape.wallAngleLateralDegrees));
  const y =
    (coronetMedial.y + slope * (wallAtLateral.x + lean * wallAtLateral.y - coronetMedial.x)) /
    (1 + slope * lean);
  const points: Record<DorsopalmarLandmark, Point> = {
    p3MarginMedial: medial,
    p3MarginLateral: lateral,
    foramenMedial: polar(foramina, 180 + tilt, shape.foraminaApartMm / 2),
    foramenLateral: polar(foramina, tilt, shape.foraminaApartMm / 2),
    jointMedialUpper: polar(jointMedial, 90 + tilt, shape.jointSpaceMedialMm / 2),
    jointMedialLower: polar(jointMedial, 270 + tilt, shape.jointSpaceMedialMm / 2),
    jointLateralUpper: polar(jointLateral, 90 + tilt, shape.jointSpaceLateralMm / 2),
    jointLateralLower: polar(jointLateral, 270 + tilt, shape.jointSpaceLateralMm / 2),
    groundMedial: { x: -half - 25, y: 0 },
    groundLateral: { x: half + 25, y: 0 },
    wallMedial: along(wallAtMedial, shape.wallAngleMedialDegrees, -1, 6),
    wallLateral: along(wallAtLateral, shape.wallAngleLateralDegrees, 1, 6),
    coronetMedial,
    coronetLateral: along(wallAtLateral, shape.wallAngleLateralDegrees, 1, y),
    markerStart: { x: -half, y: 2 },
    markerEnd: { x: -half + shape.markerLengthMm, y: 2 },
  };
  return mapValues(points, toImage(placement));
};
