import type { Point, Points } from "../workbench/machine/workbench.ts";

/** x' = a·x + c·y + e; y' = b·x + d·y + f (the order of an SVG matrix). */
export interface Affine {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d: number;
  readonly e: number;
  readonly f: number;
}

export const apply = (m: Affine, { x, y }: Point): Point => ({
  x: m.a * x + m.c * y + m.e,
  y: m.b * x + m.d * y + m.f,
});

/** The part of the bone that does not change: tip to wing of P3, and a point above for the side. */
const TIP = "p3Tip";
const WING = "p3Wing";
const ABOVE = ["extensorProcess", "p3DorsalProximal", "coronaryBand"];

const sideOf = (tip: Point, wing: Point, above: Point): number =>
  Math.sign((wing.x - tip.x) * (above.y - tip.y) - (wing.y - tip.y) * (above.x - tip.x));

/**
 * Lays one film on another so that tip and wing of P3 fall together: turn, scale and shift, and a
 * mirror image where one film was taken from the other side. Undefined when either film lacks them.
 * The bone keeps its shape, so whatever then differs has moved against the bone.
 */
export const registerOnBone = (from: Points, to: Points): Affine | undefined => {
  const [tipA, wingA, tipB, wingB] = [from[TIP], from[WING], to[TIP], to[WING]];
  if (tipA === undefined || wingA === undefined || tipB === undefined || wingB === undefined)
    return undefined;
  const [ax, ay] = [wingA.x - tipA.x, wingA.y - tipA.y];
  const [bx, by] = [wingB.x - tipB.x, wingB.y - tipB.y];
  const square = ax * ax + ay * ay;
  if (square === 0 || bx * bx + by * by === 0) return undefined;
  const above = ABOVE.find((key) => from[key] !== undefined && to[key] !== undefined);
  const [aboveA, aboveB] = above === undefined ? [] : [from[above], to[above]];
  const isMirrored =
    aboveA !== undefined &&
    aboveB !== undefined &&
    sideOf(tipA, wingA, aboveA) * sideOf(tipB, wingB, aboveB) < 0;
  // As complex numbers: b = r·a, or b = r·conj(a) for a mirror image.
  const ys = isMirrored ? -ay : ay;
  const [re, im] = [(bx * ax + by * ys) / square, (by * ax - bx * ys) / square];
  const linear = isMirrored ? { a: re, b: im, c: im, d: -re } : { a: re, b: im, c: -im, d: re };
  return {
    ...linear,
    e: tipB.x - linear.a * tipA.x - linear.c * tipA.y,
    f: tipB.y - linear.b * tipA.x - linear.d * tipA.y,
  };
};
