/** A point; millimetres or pixels as the name of the value says. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

export const add = (a: Point, b: Point): Point => ({ x: a.x + b.x, y: a.y + b.y });

export const scaled = (a: Point, factor: number): Point => ({ x: a.x * factor, y: a.y * factor });

/** `from` moved by `distance` along the unit vector `direction`. */
export const along = (from: Point, direction: Point, distance: number): Point => ({
  x: from.x + direction.x * distance,
  y: from.y + direction.y * distance,
});

export const mix = (a: Point, b: Point, share: number): Point => ({
  x: a.x + (b.x - a.x) * share,
  y: a.y + (b.y - a.y) * share,
});

/** Unit vector at an angle in degrees, counted from +x towards +y. */
export const unit = (angleDegrees: number): Point => ({
  x: Math.cos((angleDegrees * Math.PI) / 180),
  y: Math.sin((angleDegrees * Math.PI) / 180),
});

/** Points on a circle from one angle to another, ends included. */
export const arc = (
  centre: Point,
  radius: number,
  fromDegrees: number,
  toDegrees: number,
  steps = 24,
): readonly Point[] =>
  Array.from({ length: steps + 1 }, (_, index) =>
    along(centre, unit(fromDegrees + ((toDegrees - fromDegrees) * index) / steps), radius),
  );

/** An open smooth curve through all points (centripetal Catmull–Rom with uniform steps). */
export const smoothThrough = (points: readonly Point[], steps = 10): readonly Point[] => {
  const curve: Point[] = [];
  for (let index = 0; index + 1 < points.length; index += 1) {
    const p1 = points[index]!;
    const p2 = points[index + 1]!;
    const p0 = points[index - 1] ?? p1;
    const p3 = points[index + 2] ?? p2;
    for (let step = 0; step < steps; step += 1) {
      const t = step / steps;
      const part = (a: number, b: number, c: number, d: number): number =>
        0.5 *
        (2 * b +
          (c - a) * t +
          (2 * a - 5 * b + 4 * c - d) * t * t +
          (3 * b - a - 3 * c + d) * t ** 3);
      curve.push({ x: part(p0.x, p1.x, p2.x, p3.x), y: part(p0.y, p1.y, p2.y, p3.y) });
    }
  }
  return [...curve, points.at(-1)!];
};

/** Where two infinite lines meet, each given by a point and a direction; parallel lines give `from`. */
export const crossing = (from: Point, direction: Point, through: Point, other: Point): Point => {
  const cross = direction.x * other.y - direction.y * other.x;
  if (Math.abs(cross) < 1e-12) return from;
  const t = ((through.x - from.x) * other.y - (through.y - from.y) * other.x) / cross;
  return along(from, direction, t);
};
