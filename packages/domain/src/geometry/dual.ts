/**
 * Forward-mode automatic differentiation: a value together with its gradient over every input.
 *
 * The same formula that gives a measure gives the sensitivity of that measure to each landmark
 * coordinate, so the uncertainty can never drift away from the formula (JCGM 100:2008, 5.1.2).
 */
export interface Dual {
  readonly value: number;
  /** The gradient: `space.size` numbers of `chunk` from `at` on. */
  readonly chunk: Float64Array;
  readonly at: number;
  readonly space: GradientSpace;
}

/** A point or vector whose coordinates carry gradients. */
export interface DualPoint {
  readonly x: Dual;
  readonly y: Dual;
}

/**
 * Where the gradients of one calculation are kept, one after another in large blocks: a film is
 * measured again for every pixel a point is dragged, and one small array per operation would cost
 * more than the arithmetic. A block is never written twice, so a dual never changes.
 */
export interface GradientSpace {
  /** Number of inputs. */
  readonly size: number;
  chunk: Float64Array;
  next: number;
}

const DUALS_PER_CHUNK = 256;

/** A new calculation with `size` inputs. */
export const gradientSpace = (size: number): GradientSpace => ({
  size,
  chunk: new Float64Array(size * DUALS_PER_CHUNK),
  next: 0,
});

/** A dual with a gradient of zeros that has not been written yet. */
const reserve = (space: GradientSpace, value: number): Dual => {
  if (space.next + space.size > space.chunk.length) {
    space.chunk = new Float64Array(space.size * DUALS_PER_CHUNK);
    space.next = 0;
  }
  const dual: Dual = { value, chunk: space.chunk, at: space.next, space };
  space.next += space.size;
  return dual;
};

/** A fixed number. */
export const constant = (value: number, space: GradientSpace): Dual => reserve(space, value);

/** Input number `index` of the calculation. */
export const variable = (value: number, index: number, space: GradientSpace): Dual => {
  const dual = reserve(space, value);
  dual.chunk[dual.at + index] = 1;
  return dual;
};

/** Derivative by input number `index`. */
export const derivative = (dual: Dual, index: number): number =>
  dual.chunk[dual.at + index] as number;

/** value with gradient da·∇a. */
const chain1 = (value: number, a: Dual, da: number): Dual => {
  const out = reserve(a.space, value);
  const { chunk, at } = out;
  const from = a.chunk;
  const size = a.space.size;
  for (let i = 0; i < size; i++) chunk[at + i] = da * (from[a.at + i] as number);
  return out;
};

/** value with gradient da·∇a + db·∇b. */
const chain2 = (value: number, a: Dual, da: number, b: Dual, db: number): Dual => {
  const out = reserve(a.space, value);
  const { chunk, at } = out;
  const size = a.space.size;
  for (let i = 0; i < size; i++) {
    chunk[at + i] = da * (a.chunk[a.at + i] as number) + db * (b.chunk[b.at + i] as number);
  }
  return out;
};

/** p·q + sign·r·s in one pass over the gradients. */
const twoProducts = (p: Dual, q: Dual, sign: 1 | -1, r: Dual, s: Dual): Dual => {
  const out = reserve(p.space, p.value * q.value + sign * r.value * s.value);
  const { chunk, at } = out;
  const size = p.space.size;
  const dr = sign * s.value;
  const ds = sign * r.value;
  for (let i = 0; i < size; i++) {
    chunk[at + i] =
      q.value * (p.chunk[p.at + i] as number) +
      p.value * (q.chunk[q.at + i] as number) +
      dr * (r.chunk[r.at + i] as number) +
      ds * (s.chunk[s.at + i] as number);
  }
  return out;
};

export const add = (a: Dual, b: Dual): Dual => chain2(a.value + b.value, a, 1, b, 1);
export const subtract = (a: Dual, b: Dual): Dual => chain2(a.value - b.value, a, 1, b, -1);
export const multiply = (a: Dual, b: Dual): Dual =>
  chain2(a.value * b.value, a, b.value, b, a.value);
export const divide = (a: Dual, b: Dual): Dual =>
  chain2(a.value / b.value, a, 1 / b.value, b, -a.value / (b.value * b.value));
/** a·factor for a plain number. */
export const scaleBy = (a: Dual, factor: number): Dual => chain1(a.value * factor, a, factor);
/** a + amount for a plain number. */
export const shiftBy = (a: Dual, amount: number): Dual => chain1(a.value + amount, a, 1);
export const negate = (a: Dual): Dual => scaleBy(a, -1);
export const sine = (a: Dual): Dual => chain1(Math.sin(a.value), a, Math.cos(a.value));
export const cosine = (a: Dual): Dual => chain1(Math.cos(a.value), a, -Math.sin(a.value));
/** Length of (x, y). */
export const hypotenuse = (x: Dual, y: Dual): Dual => {
  const value = Math.hypot(x.value, y.value);
  return chain2(value, x, x.value / value, y, y.value / value);
};
/** Angle of (x, y) in radians, in (−π, π]. */
export const arcTangent2 = (y: Dual, x: Dual): Dual => {
  const squared = x.value * x.value + y.value * y.value;
  return chain2(Math.atan2(y.value, x.value), y, x.value / squared, x, -y.value / squared);
};

const DEGREES_PER_RADIAN = 180 / Math.PI;
export const toDegrees = (radians: Dual): Dual => scaleBy(radians, DEGREES_PER_RADIAN);
export const toRadians = (degrees: Dual): Dual => scaleBy(degrees, 1 / DEGREES_PER_RADIAN);

export const between = (from: DualPoint, to: DualPoint): DualPoint => ({
  x: subtract(to.x, from.x),
  y: subtract(to.y, from.y),
});
export const midpoint = (a: DualPoint, b: DualPoint): DualPoint => ({
  x: scaleBy(add(a.x, b.x), 0.5),
  y: scaleBy(add(a.y, b.y), 0.5),
});
export const dot = (a: DualPoint, b: DualPoint): Dual => twoProducts(a.x, b.x, 1, a.y, b.y);
/** z of the cross product: positive when b lies anticlockwise of a (y up). */
export const cross = (a: DualPoint, b: DualPoint): Dual => twoProducts(a.x, b.y, -1, a.y, b.x);
export const lengthOf = (v: DualPoint): Dual => hypotenuse(v.x, v.y);
export const unit = (v: DualPoint): DualPoint => {
  const length = lengthOf(v);
  return { x: divide(v.x, length), y: divide(v.y, length) };
};

/**
 * Standard uncertainty by first-order propagation from independent inputs (JCGM 100:2008, eq. 10).
 * `deviations[i]` is the standard uncertainty of input i.
 */
export const standardUncertaintyOf = (dual: Dual, deviations: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < deviations.length; i++) {
    const part = derivative(dual, i) * (deviations[i] as number);
    sum += part * part;
  }
  return Math.sqrt(sum);
};
