import type { Polygon } from "./polygon.ts";

/** Foot from below. x forward from the tip of P3, y to the side, mm. */
export interface SolarShape {
  readonly toeX: number;
  readonly heelX: number;
  /** Half of the widest width. */
  readonly halfWidth: number;
  /** Half of the width at the heel buttresses. */
  readonly halfHeelWidth: number;
}

/** Share of the widest width that is left at the heels. House outline. */
const HEEL_SHARE = 0.72;
/** Width of a front foot as a share of its bearing length when nobody measured it. House outline. */
const WIDTH_SHARE = 0.95;

/** Width of a foot from its bearing length, for a foot whose width nobody measured, mm. */
export const widthFromLength = (lengthMm: number): number => WIDTH_SHARE * lengthMm;
/** Half of the frog's width at the heels as a share of the foot's half width. House outline. */
export const FROG_SHARE = 0.42;
const STEPS = 24;
/** Shares of the way back along a side, heel first. */
const BACK = Array.from({ length: STEPS }, (_, index) => 1 - index / STEPS);
/** A quarter turn either way, seen from the middle of the foot: worked out once, drawn many times. */
const TURN = Array.from({ length: 2 * STEPS + 1 }, (_, index) => {
  const turn = (Math.PI * index) / (2 * STEPS) - Math.PI / 2;
  return { cos: Math.cos(turn), sin: Math.sin(turn) };
});

export const solarShape = (toeX: number, heelX: number, widthMm?: number): SolarShape => {
  const halfWidth = (widthMm ?? widthFromLength(toeX - heelX)) / 2;
  return { toeX, heelX, halfWidth, halfHeelWidth: HEEL_SHARE * halfWidth };
};

/** The shape made smaller by a web all round; `openHeels` leaves it long enough to reach the heels. */
export const insetShape = (shape: SolarShape, webMm: number, openHeels: boolean): SolarShape => ({
  toeX: shape.toeX - webMm,
  heelX: openHeels ? shape.heelX : shape.heelX + webMm,
  halfWidth: shape.halfWidth - webMm,
  halfHeelWidth: shape.halfHeelWidth - webMm,
});

/**
 * Outline: half an ellipse in front of the widest part, sides that narrow as a parabola behind it, and
 * a straight line across the heels. Corners run from one heel round the toe to the other.
 */
export const solarOutline = (shape: SolarShape): Polygon => {
  const half = (shape.toeX - shape.heelX) / 2;
  const middle = shape.heelX + half;
  const narrowing = shape.halfWidth - shape.halfHeelWidth;
  const side = (sign: 1 | -1) =>
    BACK.map((back) => ({
      x: middle - back * half,
      y: sign * (shape.halfWidth - narrowing * back * back),
    }));
  const front = TURN.map(({ cos, sin }) => ({
    x: middle + half * cos,
    y: shape.halfWidth * sin,
  }));
  return [...side(-1), ...front, ...side(1).toReversed()];
};

/** Half an ellipse behind the heels, for the bar of an oval shoe. */
export const heelOval = (heelX: number, halfWidth: number, depthMm: number): Polygon =>
  TURN.map(({ cos, sin }) => ({ x: heelX - depthMm * cos, y: -halfWidth * sin }));

/** Triangle from a tip widening to the heels: frog, or the plate that bears on it. */
export const wedgeFrom = (tipX: number, heelX: number, halfBase: number): Polygon => [
  { x: tipX, y: 0 },
  { x: heelX, y: -halfBase },
  { x: heelX, y: halfBase },
];
