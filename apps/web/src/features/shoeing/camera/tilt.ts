const toRadians = (degrees: number): number => (degrees * Math.PI) / 180;
const toDegrees = (radians: number): number => (radians * 180) / Math.PI;

/**
 * How far the phone is from upright with its lens level, in degrees: the larger of leaning sideways
 * and of pointing up or down. Upright means either edge down, so that pictures may be tall or wide.
 * Source: W3C DeviceOrientation, rotation Z-X'-Y'': the up direction in the phone's own axes is the
 * third row of its matrix.
 */
export const tiltDegrees = (betaDegrees: number, gammaDegrees: number): number => {
  const [beta, gamma] = [toRadians(betaDegrees), toRadians(gammaDegrees)];
  const up = {
    x: -Math.cos(beta) * Math.sin(gamma),
    y: Math.sin(beta),
    z: Math.cos(beta) * Math.cos(gamma),
  };
  const pitch = Math.abs(toDegrees(Math.asin(Math.max(-1, Math.min(1, up.z)))));
  const roll = toDegrees(Math.atan2(up.x, up.y));
  const toEdge = Math.abs(roll - 90 * Math.round(roll / 90));
  return Math.max(pitch, toEdge);
};
