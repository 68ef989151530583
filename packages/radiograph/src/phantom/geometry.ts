import type { Point } from "./shapes.ts";

/**
 * One part of the body or the equipment, as its outline in millimetres and how it weakens the
 * beam. Outlines are closed; x grows towards the toe (side view) or the lateral side (front view),
 * y upwards from the ground.
 */
export interface PhantomShape {
  readonly outline: readonly Point[];
  /** Soft and horn shapes stay soft-edged; bone takes trabecular texture; metal goes on top. */
  readonly layer: "soft" | "bone" | "metal";
  /** Brightness added everywhere inside, as a share of full scale; negative for a lucent part. */
  readonly step: number;
  /** Brightness added on top towards the middle, as the part grows thicker away from its edge. */
  readonly depth: number;
  /** Distance from the edge at which `depth` is reached. */
  readonly fullDepthMm: number;
  /**
   * How far each outline point lies to either side of the middle plane. On a turned film such a
   * part shows as two outlines.
   */
  readonly spreadMm?: readonly number[];
}

/** A drawable foot with the true position of every landmark, in millimetres. */
export interface PhantomGeometry<Key extends string, Truth> {
  readonly landmarksMm: Readonly<Record<Key, Point>>;
  readonly shapes: readonly PhantomShape[];
  /** Point of the object that is shown in the middle of the film. */
  readonly centreMm: Point;
  /** True measures, by construction and not by measuring the landmarks. */
  readonly truth: Truth;
}

/** A soft part or horn. */
export const softShape = (
  outline: readonly Point[],
  step: number,
  depth = 0,
  fullDepthMm = 20,
): PhantomShape => ({ outline, layer: "soft", step, depth, fullDepthMm });

/** A bone. */
export const boneShape = (
  outline: readonly Point[],
  step: number,
  depth: number,
  fullDepthMm: number,
  spreadMm?: readonly number[],
): PhantomShape => ({
  outline,
  layer: "bone",
  step,
  depth,
  fullDepthMm,
  ...(spreadMm && { spreadMm }),
});

/** Metal or paste. */
export const metalShape = (outline: readonly Point[], step = 0.75): PhantomShape => ({
  outline,
  layer: "metal",
  step,
  depth: 0,
  fullDepthMm: 1,
});

/** A rectangle with its sides along the axes. */
export const box = (left: number, bottom: number, right: number, top: number): readonly Point[] => [
  { x: left, y: bottom },
  { x: right, y: bottom },
  { x: right, y: top },
  { x: left, y: top },
];
