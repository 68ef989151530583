import type { Film } from "../film/film.ts";
import { defaultEdgeSearch, findEdge, type EdgeSearch, type FilmPoint } from "./profile.ts";
import type { EdgeSample, NotMovedReason } from "./refine.ts";
import { biweights } from "./robust.ts";

/** A circle in film pixels. */
export interface FilmCircle {
  readonly centre: FilmPoint;
  readonly radiusPx: number;
}

/** A refined circle with the points moved onto it. */
export interface RefinedCircle {
  readonly moved: boolean;
  readonly reason?: NotMovedReason;
  readonly circle?: FilmCircle;
  readonly points: readonly FilmPoint[];
  readonly from: readonly FilmPoint[];
  readonly samples: readonly EdgeSample[];
  readonly rmsPx: number;
}

/** Solves a symmetric 3 × 3 system by Cramer's rule; nothing when it is singular. */
const solve3 = (
  [a, b, c, d, e, f]: readonly [number, number, number, number, number, number],
  [p, q, r]: readonly [number, number, number],
): readonly [number, number, number] | undefined => {
  const det = a * (d * f - e * e) - b * (b * f - e * c) + c * (b * e - d * c);
  if (Math.abs(det) < 1e-12) return undefined;
  return [
    (p * (d * f - e * e) - b * (q * f - e * r) + c * (q * e - d * r)) / det,
    (a * (q * f - r * e) - p * (b * f - e * c) + c * (b * r - q * c)) / det,
    (a * (d * r - e * q) - b * (b * r - q * c) + p * (b * e - d * c)) / det,
  ];
};

/** Algebraic circle through weighted points (Kåsa 1976), taken about their mean. */
const algebraicCircle = (
  points: readonly FilmPoint[],
  weights: readonly number[],
): FilmCircle | undefined => {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mean = {
    x: points.reduce((sum, { x }, index) => sum + weights[index]! * x, 0) / total,
    y: points.reduce((sum, { y }, index) => sum + weights[index]! * y, 0) / total,
  };
  let [sxx, sxy, syy, sx, sy, sxz, syz, sz] = [0, 0, 0, 0, 0, 0, 0, 0];
  points.forEach((point, index) => {
    const weight = weights[index]!;
    const x = point.x - mean.x;
    const y = point.y - mean.y;
    const z = x * x + y * y;
    sxx += weight * x * x;
    sxy += weight * x * y;
    syy += weight * y * y;
    sx += weight * x;
    sy += weight * y;
    sxz += weight * x * z;
    syz += weight * y * z;
    sz += weight * z;
  });
  const answer = solve3([sxx, sxy, sx, syy, sy, total], [sxz, syz, sz]);
  if (answer === undefined) return undefined;
  const [doubleX, doubleY, rest] = answer;
  const square = rest + (doubleX * doubleX + doubleY * doubleY) / 4;
  if (!(square > 0)) return undefined;
  return {
    centre: { x: mean.x + doubleX / 2, y: mean.y + doubleY / 2 },
    radiusPx: Math.sqrt(square),
  };
};

const distances = (points: readonly FilmPoint[], { centre, radiusPx }: FilmCircle): number[] =>
  points.map(({ x, y }) => Math.hypot(x - centre.x, y - centre.y) - radiusPx);

/** One Gauss–Newton step towards the least squares of true distances. */
const geometricStep = (
  points: readonly FilmPoint[],
  weights: readonly number[],
  circle: FilmCircle,
): FilmCircle | undefined => {
  let [uu, uv, vv, u1, v1, n, ud, vd, d1] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  points.forEach((point, index) => {
    const weight = weights[index]!;
    const dx = point.x - circle.centre.x;
    const dy = point.y - circle.centre.y;
    const distance = Math.hypot(dx, dy);
    if (distance === 0) return;
    const [u, v, off] = [dx / distance, dy / distance, distance - circle.radiusPx];
    uu += weight * u * u;
    uv += weight * u * v;
    vv += weight * v * v;
    u1 += weight * u;
    v1 += weight * v;
    n += weight;
    ud += weight * u * off;
    vd += weight * v * off;
    d1 += weight * off;
  });
  const step = solve3([uu, uv, u1, vv, v1, n], [ud, vd, d1]);
  if (step === undefined) return undefined;
  return {
    centre: { x: circle.centre.x + step[0], y: circle.centre.y + step[1] },
    radiusPx: circle.radiusPx + step[2],
  };
};

/** The circle with the least squared distances to the points, which may be weighted. */
export const fitCircle = (
  points: readonly FilmPoint[],
  weights: readonly number[] = points.map(() => 1),
): FilmCircle | undefined => {
  let circle = algebraicCircle(points, weights);
  for (let round = 0; round < 6 && circle !== undefined; round += 1) {
    circle = geometricStep(points, weights, circle) ?? circle;
  }
  return circle;
};

const robustCircle = (points: readonly FilmPoint[]): FilmCircle | undefined => {
  let circle = fitCircle(points);
  for (let round = 0; round < 6 && circle !== undefined; round += 1) {
    circle = fitCircle(points, biweights(distances(points, circle))) ?? circle;
  }
  return circle;
};

/** The shortest arc that holds all the points, as a start angle and a length, in radians. */
const arcOf = (points: readonly FilmPoint[], centre: FilmPoint): readonly [number, number] => {
  const angles = points
    .map(({ x, y }) => Math.atan2(y - centre.y, x - centre.x))
    .toSorted((a, b) => a - b);
  let widest = -1;
  let start = 0;
  angles.forEach((angle, index) => {
    const next = angles[index + 1] ?? angles[0]! + 2 * Math.PI;
    if (next - angle > widest) {
      widest = next - angle;
      start = next;
    }
  });
  return [start, 2 * Math.PI - widest];
};

const arcSamples = 60;
const leastShare = 0.5;

/**
 * Lays a circle onto the film's own curved edge: fits the placed points, looks for the edge along
 * sixty radii within their arc, fits those robustly, and moves each point radially onto the new
 * circle. Needs three points or more.
 */
export const refineCircle = (
  film: Film,
  points: readonly FilmPoint[],
  reachPx: number = defaultEdgeSearch.reachPx,
  search: Partial<EdgeSearch> = {},
): RefinedCircle => {
  const unmoved = (reason: NotMovedReason, samples: readonly EdgeSample[] = []): RefinedCircle => ({
    moved: false,
    reason,
    points,
    from: points,
    samples,
    rmsPx: 0,
  });
  const placed = points.length >= 3 ? fitCircle(points) : undefined;
  if (placed === undefined) return unmoved("not-enough-points");
  const settings = { ...defaultEdgeSearch, ...search, reachPx };
  const [start, span] = arcOf(points, placed.centre);
  const hits = Array.from({ length: arcSamples }, (_, index) => {
    const angle = start + (span * index) / (arcSamples - 1);
    const outwards = { x: Math.cos(angle), y: Math.sin(angle) };
    const from = {
      x: placed.centre.x + placed.radiusPx * outwards.x,
      y: placed.centre.y + placed.radiusPx * outwards.y,
    };
    return findEdge(film, from, outwards, settings)?.at;
  }).filter((at): at is FilmPoint => at !== undefined);
  if (hits.length < arcSamples * leastShare) return unmoved("too-few-edges");
  const circle = robustCircle(hits);
  if (circle === undefined) return unmoved("edges-disagree");
  const residuals = distances(hits, circle);
  const weights = biweights(residuals);
  const samples = hits.map((at, index) => ({
    at,
    isUsed: weights[index]! > 0,
    residualPx: residuals[index]!,
  }));
  const used = samples.filter(({ isUsed }) => isUsed);
  if (used.length < arcSamples * leastShare) return unmoved("edges-disagree", samples);
  return {
    moved: true,
    circle,
    points: points.map(({ x, y }) => {
      const distance = Math.hypot(x - circle.centre.x, y - circle.centre.y) || 1;
      return {
        x: circle.centre.x + ((x - circle.centre.x) / distance) * circle.radiusPx,
        y: circle.centre.y + ((y - circle.centre.y) / distance) * circle.radiusPx,
      };
    }),
    from: points,
    samples,
    rmsPx: Math.sqrt(used.reduce((sum, { residualPx }) => sum + residualPx ** 2, 0) / used.length),
  };
};
