import type { GeoPoint } from "./great-circle.ts";

/**
 * Link that hands a place to whatever navigation the phone has, such as `geo:53.268,-8.934`.
 * Six decimals are about 0.1 m. `uncertaintyMetres` becomes the `u` parameter.
 * source: RFC 5870, section 3.
 * @throws RangeError when the point is not on the Earth.
 */
export const geoUri = (at: GeoPoint, uncertaintyMetres?: number): string => {
  if (!(Math.abs(at.latDegrees) <= 90) || !(Math.abs(at.lonDegrees) <= 180))
    throw new RangeError("latitude must be within ±90 and longitude within ±180 degrees");
  // RFC 5870 section 3.4.2: the poles take longitude 0.
  const lon = Math.abs(at.latDegrees) === 90 ? 0 : at.lonDegrees;
  const figure = (value: number): string => String(Number(value.toFixed(6)) + 0);
  const u = uncertaintyMetres === undefined ? "" : `;u=${figure(uncertaintyMetres)}`;
  return `geo:${figure(at.latDegrees)},${figure(lon)}${u}`;
};
