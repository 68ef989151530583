import { millimetresPerPixel } from "../geometry/index.ts";
import type { PlanePoint } from "./polygon.ts";

/** Lays a drawing in mm (x forward from the tip of P3, y up from the ground) onto the film's pixels. */
export type OntoFilm = (mm: PlanePoint) => PlanePoint;

/**
 * The foot's own frame on its film: the ground line gives the direction, the tip of P3 the place, the
 * scale the size. Undefined without them.
 */
export const ontoFilm = (
  points: Readonly<Record<string, PlanePoint>>,
  scale: Parameters<typeof millimetresPerPixel>[0],
): OntoFilm | undefined => {
  const { groundToe, groundHeel, p3Tip } = points;
  const mm = millimetresPerPixel(scale, points);
  if (groundToe === undefined || groundHeel === undefined || p3Tip === undefined || !mm.ok)
    return undefined;
  const length = Math.hypot(groundToe.x - groundHeel.x, groundToe.y - groundHeel.y);
  if (length === 0) return undefined;
  const ex = { x: (groundToe.x - groundHeel.x) / length, y: (groundToe.y - groundHeel.y) / length };
  const along = (p3Tip.x - groundHeel.x) * ex.x + (p3Tip.y - groundHeel.y) * ex.y;
  const foot = { x: groundHeel.x + along * ex.x, y: groundHeel.y + along * ex.y };
  const height = Math.hypot(p3Tip.x - foot.x, p3Tip.y - foot.y);
  if (height === 0) return undefined;
  const ey = { x: (p3Tip.x - foot.x) / height, y: (p3Tip.y - foot.y) / height };
  const perMm = 1 / mm.value;
  return ({ x, y }) => ({
    x: foot.x + (x * ex.x + y * ey.x) * perMm,
    y: foot.y + (x * ex.y + y * ey.y) * perMm,
  });
};
