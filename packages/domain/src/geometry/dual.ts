/**
 * Forward-mode automatic differentiation: a value together with its gradient over every input.
 *
 * The same formula that gives a measure gives the sensitivity of that measure to each landmark
 * coordinate, so the uncertainty can never drift away from the formula (JCGM 100:2008, 5.1.2).
 * All gradients of one calculation have the same length.
 */
export interface Dual {
  readonly value: number;
  readonly gradient: Float64Array;
}

/** A point or vector whose coordinates carry gradients. */
export interface DualPoint {
  readonly x: Dual;
  readonly y: Dual;
}

/** A fixed number among `size` inputs. */
export const constant = (value: number, size: number): Dual => ({
  value,
  gradient: new Float64Array(size),
});

/** Input number `index` of `size`. */
export const variable = (value: number, index: number, size: number): Dual => {
  const gradient = new Float64Array(size);
  gradient[index] = 1;
  return { value, gradient };
};

/** value with gradient da·∇a + db·∇b. */
const chain2 = (value: number, a: Dual, da: number, b: Dual, db: number): Dual => {
  const size = a.gradient.length;
  const gradient = new Float64Array(size);
  for (let i = 0; i < size; i++) {
    gradient[i] = da * (a.gradient[i] as number) + db * (b.gradient[i] as number);
  }
  return { value, gradient };
};

const chain1 = (value: number, a: Dual, da: number): Dual => {
  const size = a.gradient.length;
  const gradient = new Float64Array(size);
  for (let i = 0; i < size; i++) gradient[i] = da * (a.gradient[i] as number);
  return { value, gradient };
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
export const dot = (a: DualPoint, b: DualPoint): Dual =>
  add(multiply(a.x, b.x), multiply(a.y, b.y));
/** z of the cross product: positive when b lies anticlockwise of a (y up). */
export const cross = (a: DualPoint, b: DualPoint): Dual =>
  subtract(multiply(a.x, b.y), multiply(a.y, b.x));
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
    const part = (dual.gradient[i] as number) * (deviations[i] as number);
    sum += part * part;
  }
  return Math.sqrt(sum);
};
