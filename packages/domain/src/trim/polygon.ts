/** Closed polygons in mm, as lists of corners without the first repeated at the end. */
export interface PlanePoint {
  readonly x: number;
  readonly y: number;
}
export type Polygon = readonly PlanePoint[];

const crossSums = (polygon: Polygon) => {
  let area = 0;
  let x = 0;
  let y = 0;
  polygon.forEach((from, index) => {
    const to = polygon[(index + 1) % polygon.length] ?? from;
    const cross = from.x * to.y - to.x * from.y;
    area += cross;
    x += (from.x + to.x) * cross;
    y += (from.y + to.y) * cross;
  });
  return { area: area / 2, x: x / 6, y: y / 6 };
};

/** Area by the shoelace formula, always positive, mm². */
export const polygonArea = (polygon: Polygon): number => Math.abs(crossSums(polygon).area);

/** Area and first moments, mm² and mm³, independent of the direction of the corners. */
export const polygonMoments = (
  polygon: Polygon,
): { readonly area: number; readonly x: number; readonly y: number } => {
  const sums = crossSums(polygon);
  const sign = sums.area < 0 ? -1 : 1;
  return { area: sign * sums.area, x: sign * sums.x, y: sign * sums.y };
};

/** The part of a polygon with x ≤ limit (or ≥ when `keep` is "ahead"). */
export const clipAtX = (polygon: Polygon, limit: number, keep: "behind" | "ahead"): Polygon => {
  const isInside = (p: PlanePoint): boolean => (keep === "behind" ? p.x <= limit : p.x >= limit);
  const kept: PlanePoint[] = [];
  for (const [index, from] of polygon.entries()) {
    const to = polygon[(index + 1) % polygon.length] ?? from;
    if (isInside(from)) kept.push(from);
    if (isInside(from) === isInside(to)) continue;
    const share = (limit - from.x) / (to.x - from.x);
    kept.push({ x: limit, y: from.y + share * (to.y - from.y) });
  }
  return kept;
};
