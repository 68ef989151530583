import type { Point } from "./circle-fit.ts";
import { between, cross, dot, negate, unit, type Dual, type DualPoint } from "./dual.ts";

/**
 * The foot frame of a film: origin on the ground line, x from `from` to `to`, y up. Which side is up
 * follows from the bone, so the film may be mirrored, turned or stored upside down.
 */
export interface FootFrame {
  readonly place: (point: DualPoint) => DualPoint;
}

/** Builds the frame; `above` is any point that lies above the ground (image pixels). */
export const footFrame = (from: DualPoint, to: DualPoint, above: Point): FootFrame => {
  const ex = unit(between(from, to));
  const side = ex.x.value * (above.y - from.y.value) - ex.y.value * (above.x - from.x.value);
  const upright = (v: Dual): Dual => (side < 0 ? negate(v) : v);
  return {
    place: (point) => {
      const offset = between(from, point);
      return { x: dot(ex, offset), y: upright(cross(ex, offset)) };
    },
  };
};

/** Signed distance of a point from a line through `at` along the unit vector `direction`. */
export const besideLine = (at: DualPoint, direction: DualPoint, point: DualPoint): Dual =>
  cross(direction, between(at, point));
