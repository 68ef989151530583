/**
 * What a point source does to lengths and angles on a flat plate. Lengths in mm, angles in degrees.
 * SID: source (focus) to image plate; OID: object to image plate.
 * source: central projection, plane trigonometry.
 */

const radians = (degrees: number): number => (degrees * Math.PI) / 180;
const degrees = (angle: number): number => (angle * 180) / Math.PI;

/** SID ÷ (SID − OID). */
export const magnification = (sidMm: number, oidMm: number): number => sidMm / (sidMm - oidMm);

/** Length in the foot of a length read on the plate. */
export const trueLengthMm = (readMm: number, magnified: number): number => readMm / magnified;

/**
 * Factor by which a scale taken from a marker must be multiplied when the marker lies
 * `offsetMm` nearer to the tube than the bone (negative: nearer to the plate).
 */
export const markerPlaneFactor = (focusToFootMm: number, offsetMm: number): number =>
  focusToFootMm / (focusToFootMm - offsetMm);

/** Share of its length that a marker shows when tilted out of the plate plane. */
export const foreshortening = (tiltDegrees: number): number => Math.cos(radians(tiltDegrees));

/** Angle to the ground as read when the foot is turned about the vertical (parallel beam). */
export const apparentAngleDegrees = (trueDegrees: number, turnDegrees: number): number =>
  degrees(Math.atan(Math.tan(radians(trueDegrees)) / Math.cos(radians(turnDegrees))));

/** Height on the plate between two level points at different OID, `beamOffsetMm` from the central ray. */
export const wingSplitMm = (
  sidMm: number,
  nearTubeOidMm: number,
  nearPlateOidMm: number,
  beamOffsetMm: number,
): number =>
  beamOffsetMm * (magnification(sidMm, nearTubeOidMm) - magnification(sidMm, nearPlateOidMm));

/** Angle of a wedge from its height over a length. */
export const wedgeDegreesOf = (heightMm: number, lengthMm: number): number =>
  degrees(Math.atan(heightMm / lengthMm));

/** Height of a wedge over a length. */
export const wedgeHeightMm = (wedgeDegrees: number, lengthMm: number): number =>
  lengthMm * Math.tan(radians(wedgeDegrees));

/** Palmar angle from two sole depths and the length of the bone between them. */
export const palmarAngleFromSolesDegrees = (
  soleTipMm: number,
  soleWingMm: number,
  boneLengthMm: number,
): number => degrees(Math.asin((soleWingMm - soleTipMm) / boneLengthMm));

/** Rotation from the two wall-to-bone distances and the length along the wall between them. */
export const rotationFromWallDistancesDegrees = (
  proximalMm: number,
  distalMm: number,
  spacingMm: number,
): number => degrees(Math.atan((distalMm - proximalMm) / spacingMm));
