import {
  add,
  constant,
  hypotenuse,
  multiply,
  scaleBy,
  shiftBy,
  subtract,
  divide,
  type Dual,
  type DualPoint,
} from "./dual.ts";

export interface Point {
  readonly x: number;
  readonly y: number;
}
export interface Circle {
  readonly centre: Point;
  readonly radius: number;
}
export interface DualCircle {
  readonly centre: DualPoint;
  readonly radius: Dual;
}

interface Normal {
  readonly gx: number;
  readonly gy: number;
  readonly hxx: number;
  readonly hxy: number;
  readonly hyy: number;
  readonly cost: number;
  readonly radius: number;
}

/**
 * Gradient and Hessian, at (cx, cy), of ½Σ(dᵢ − d̄)²: the radius is the mean distance, so only the
 * centre is left to find.
 */
const normalAt = (points: readonly Point[], cx: number, cy: number): Normal => {
  const n = points.length;
  let radius = 0;
  let ux = 0;
  let uy = 0;
  for (const p of points) {
    const d = Math.hypot(cx - p.x, cy - p.y);
    radius += d / n;
    ux += (cx - p.x) / d / n;
    uy += (cy - p.y) / d / n;
  }
  let gx = 0;
  let gy = 0;
  let hxx = 0;
  let hxy = 0;
  let hyy = 0;
  let cost = 0;
  for (const p of points) {
    const d = Math.hypot(cx - p.x, cy - p.y);
    const vx = (cx - p.x) / d;
    const vy = (cy - p.y) / d;
    const residual = d - radius;
    cost += residual * residual;
    gx += residual * vx;
    gy += residual * vy;
    const curve = residual / d;
    hxx += (vx - ux) * (vx - ux) + curve * (1 - vx * vx);
    hxy += (vx - ux) * (vy - uy) - curve * vx * vy;
    hyy += (vy - uy) * (vy - uy) + curve * (1 - vy * vy);
  }
  return { gx, gy, hxx, hxy, hyy, cost, radius };
};

/** Algebraic (Kåsa) circle about the centroid: a start for the geometric fit. */
const algebraicCentre = (points: readonly Point[]): Point => {
  const n = points.length;
  const mx = points.reduce((sum, p) => sum + p.x, 0) / n;
  const my = points.reduce((sum, p) => sum + p.y, 0) / n;
  let sxx = 0;
  let sxy = 0;
  let syy = 0;
  let sxz = 0;
  let syz = 0;
  for (const p of points) {
    const x = p.x - mx;
    const y = p.y - my;
    const z = x * x + y * y;
    sxx += x * x;
    sxy += x * y;
    syy += y * y;
    sxz += x * z;
    syz += y * z;
  }
  const determinant = 2 * (sxx * syy - sxy * sxy);
  return {
    x: mx + (sxz * syy - syz * sxy) / determinant,
    y: my + (syz * sxx - sxz * sxy) / determinant,
  };
};

const MAX_STEPS = 60;

/**
 * Circle through three or more points by least squares of the distances to the outline.
 * Returns undefined for fewer than three points or points on one line.
 */
export const fitCircle = (points: readonly Point[]): Circle | undefined => {
  if (points.length < 3) return undefined;
  const start = algebraicCentre(points);
  let { x, y } = start;
  if (!Number.isFinite(x) || !Number.isFinite(y)) return undefined;
  let here = normalAt(points, x, y);
  let damping = 0;
  const tolerance = 1e-13 * (Math.abs(x) + Math.abs(y) + here.radius);
  for (let step = 0; step < MAX_STEPS; step++) {
    const hxx = here.hxx + damping;
    const hyy = here.hyy + damping;
    const determinant = hxx * hyy - here.hxy * here.hxy;
    const dx = (hyy * here.gx - here.hxy * here.gy) / determinant;
    const dy = (hxx * here.gy - here.hxy * here.gx) / determinant;
    if (!Number.isFinite(dx) || !Number.isFinite(dy)) return undefined;
    const next = normalAt(points, x - dx, y - dy);
    if (determinant > 0 && next.cost <= here.cost * (1 + 1e-12) + 1e-24) {
      x -= dx;
      y -= dy;
      here = next;
      damping /= 10;
      if (Math.abs(dx) + Math.abs(dy) <= tolerance) break;
    } else {
      if (Math.abs(dx) + Math.abs(dy) <= tolerance) break;
      damping = Math.max(damping * 10, 1e-3);
    }
  }
  return { centre: { x, y }, radius: here.radius };
};

/**
 * The same fit with derivatives. At the optimum the gradient of the cost is zero, so the implicit
 * function theorem gives the derivative of the centre: one Newton step taken with gradients is exact
 * to first order.
 */
export const fitDualCircle = (points: readonly DualPoint[]): DualCircle | undefined => {
  const values = points.map((p) => ({ x: p.x.value, y: p.y.value }));
  const circle = fitCircle(values);
  const first = points[0];
  if (circle === undefined || first === undefined) return undefined;
  const { centre } = circle;
  const { space } = first.x;
  const offsets = points.map((p) => {
    const x = shiftBy(scaleBy(p.x, -1), centre.x);
    const y = shiftBy(scaleBy(p.y, -1), centre.y);
    return { x, y, d: hypotenuse(x, y) };
  });
  const zero = constant(0, space);
  const mean = scaleBy(
    offsets.reduce((sum, o) => add(sum, o.d), zero),
    1 / offsets.length,
  );
  let gx = zero;
  let gy = zero;
  for (const o of offsets) {
    const weight = divide(subtract(o.d, mean), o.d);
    gx = add(gx, multiply(weight, o.x));
    gy = add(gy, multiply(weight, o.y));
  }
  const h = normalAt(values, centre.x, centre.y);
  const determinant = h.hxx * h.hyy - h.hxy * h.hxy;
  const step = (a: Dual, ka: number, b: Dual, kb: number): Dual =>
    scaleBy(subtract(scaleBy(a, ka), scaleBy(b, kb)), -1 / determinant);
  const cx = shiftBy(step(gx, h.hyy, gy, h.hxy), centre.x);
  const cy = shiftBy(step(gy, h.hxx, gx, h.hxy), centre.y);
  const radius = scaleBy(
    points.reduce((sum, p) => add(sum, hypotenuse(subtract(cx, p.x), subtract(cy, p.y))), zero),
    1 / points.length,
  );
  return { centre: { x: cx, y: cy }, radius };
};
