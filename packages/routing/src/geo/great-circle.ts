/** A place on the Earth, WGS 84 degrees. */
export interface GeoPoint {
  readonly latDegrees: number;
  readonly lonDegrees: number;
}

/**
 * Mean radius R1 = (2a + b) / 3 of the WGS 84 ellipsoid.
 * source: Moritz 2000, Geodetic Reference System 1980, Journal of Geodesy 74:128–133.
 */
export const EARTH_RADIUS_METRES = 6_371_008.8;

const radians = (degrees: number): number => (degrees * Math.PI) / 180;

/**
 * Great-circle distance in metres on the mean sphere, by the special case of Vincenty's formula for a
 * sphere, which is exact to rounding for places side by side and for places on opposite sides of the
 * Earth. Stays within 0.6 % of the geodesic on the ellipsoid.
 * source: Vincenty 1975, Survey Review 23(176):88–93, with a flattening of nought.
 */
export const greatCircleMetres = (from: GeoPoint, to: GeoPoint): number => {
  const [a, b] = [radians(from.latDegrees), radians(to.latDegrees)];
  const dLon = radians(to.lonDegrees - from.lonDegrees);
  const across = Math.hypot(
    Math.cos(b) * Math.sin(dLon),
    Math.cos(a) * Math.sin(b) - Math.sin(a) * Math.cos(b) * Math.cos(dLon),
  );
  const along = Math.sin(a) * Math.sin(b) + Math.cos(a) * Math.cos(b) * Math.cos(dLon);
  return EARTH_RADIUS_METRES * Math.atan2(across, along);
};
