import type { Point } from "./circle-fit.ts";
import {
  constant,
  divide,
  gradientSpace,
  hypotenuse,
  multiply,
  scaleBy,
  shiftBy,
  subtract,
  variable,
  type Dual,
  type GradientSpace,
} from "./dual.ts";
import { LANDMARK_SD_MM, LANDMARK_SD_PX } from "./settings.ts";

/** Where the millimetre on this film comes from. No scale: angles and ratios only. */
export type Scale = MarkerScale | SpacingScale | NoScale;

/** A marker of known length, marked on the film by `markerStart` and `markerEnd`. */
export interface MarkerScale {
  readonly kind: "marker";
  readonly lengthMm: number;
  readonly lengthStandardUncertaintyMm: number;
  /** How much nearer to the tube than the bone the marker lies (negative: nearer the plate). */
  readonly planeOffsetMm?: number | undefined;
  readonly planeOffsetStandardUncertaintyMm?: number | undefined;
  /** Focus to foot; needed as soon as a plane offset or its uncertainty is stated. */
  readonly focusToFootMm?: number | undefined;
  /** A marker on the dorsal wall can also be checked against the wall. */
  readonly place?: "dorsal wall" | "elsewhere" | undefined;
}

/** Spacing of the detector, corrected by a stated magnification (mm in the foot = px·mmPerPx/magnification). */
export interface SpacingScale {
  readonly kind: "spacing";
  readonly mmPerPx: number;
  readonly magnification: number;
  readonly relativeStandardUncertainty: number;
}

export interface NoScale {
  readonly kind: "none";
}

/** mm per pixel in the plane of the bone, or why there is none. */
export type MillimetresPerPixel =
  | { readonly ok: true; readonly value: number }
  | { readonly ok: false; readonly reason: string };

export type PointMap<K extends string> = { readonly [key in K]?: Point | undefined };

const isPositive = (value: number): boolean => Number.isFinite(value) && value > 0;
const isFinitePoint = (point: Point | undefined): point is Point =>
  point !== undefined && Number.isFinite(point.x) && Number.isFinite(point.y);

const refuse = (reason: string): MillimetresPerPixel => ({ ok: false, reason });

/** Length of one pixel in the plane of the bone. Never throws; a bad scale is refused with a reason. */
export const millimetresPerPixel = (
  scale: Scale,
  landmarks: PointMap<"markerStart" | "markerEnd">,
): MillimetresPerPixel => {
  if (scale.kind === "none") {
    return refuse(
      "no scale: without a marker or a stated spacing no length is given in millimetres",
    );
  }
  if (scale.kind === "spacing") {
    return isPositive(scale.mmPerPx) && isPositive(scale.magnification)
      ? { ok: true, value: scale.mmPerPx / scale.magnification }
      : refuse("the stated spacing or magnification is not a positive number");
  }
  const { markerStart, markerEnd } = landmarks;
  if (!isFinitePoint(markerStart) || !isFinitePoint(markerEnd)) {
    return refuse("no scale: both ends of the marker must be placed");
  }
  const markerPx = Math.hypot(markerEnd.x - markerStart.x, markerEnd.y - markerStart.y);
  if (!isPositive(markerPx)) return refuse("no scale: the two ends of the marker coincide");
  if (!isPositive(scale.lengthMm))
    return refuse("the length of the marker is not a positive number");
  const offset = scale.planeOffsetMm ?? 0;
  const offsetSd = scale.planeOffsetStandardUncertaintyMm ?? 0;
  if (offset === 0 && offsetSd === 0) return { ok: true, value: scale.lengthMm / markerPx };
  if (scale.focusToFootMm === undefined) {
    return refuse(
      "the marker lies outside the plane of the bone: state the distance from tube to foot",
    );
  }
  if (!isPositive(scale.focusToFootMm - offset) || !isPositive(scale.focusToFootMm)) {
    return refuse("the distance from tube to foot does not fit the marker offset");
  }
  return {
    ok: true,
    value: (scale.lengthMm / markerPx) * (scale.focusToFootMm / (scale.focusToFootMm - offset)),
  };
};

/** Standard deviation of one landmark coordinate in pixels, for every landmark or for single ones. */
export type LandmarkDeviation<K extends string> =
  | number
  | { readonly [key in K]?: number | undefined };

/** Standard deviation of one landmark coordinate placed by hand, with and without a scale. */
export interface LandmarkSpread {
  readonly mm: number;
  readonly px: number;
}
const STANDARD_SPREAD: LandmarkSpread = { mm: LANDMARK_SD_MM.value, px: LANDMARK_SD_PX.value };

/** Every input of one film as a variable: landmark coordinates first, then the scale, then the wedge. */
export interface FilmVariables<K extends string> {
  readonly points: ReadonlyMap<K, { readonly x: Dual; readonly y: Dual }>;
  readonly mmPerPx: Dual | undefined;
  readonly noScaleReason: string | undefined;
  readonly wedgeDegrees: Dual;
  /** Standard uncertainty of each variable, in the unit of that variable. */
  readonly deviations: Float64Array;
  readonly space: GradientSpace;
}

interface FilmVariablesInput<K extends string> {
  readonly landmarks: PointMap<K>;
  readonly scale: Scale;
  readonly wedgeDegrees: number;
  readonly wedgeStandardUncertaintyDegrees: number;
  readonly landmarkStandardUncertaintyPx?: LandmarkDeviation<K> | undefined;
  /** What a hand scatters by, for landmarks without a deviation of their own. */
  readonly landmarkSpread?: LandmarkSpread | undefined;
}

const SCALE_VARIABLES = 3;

/** Lays out the variables of a film. Landmarks that are missing or not finite are left out. */
export const filmVariables = <K extends string>(
  keys: readonly K[],
  input: FilmVariablesInput<K>,
): FilmVariables<K> => {
  const { landmarks, scale } = input;
  const scaled = millimetresPerPixel(scale, landmarks as PointMap<"markerStart" | "markerEnd">);
  const spread = input.landmarkSpread ?? STANDARD_SPREAD;
  const defaultSd = scaled.ok ? spread.mm / scaled.value : spread.px;
  const stated = input.landmarkStandardUncertaintyPx;
  const placed = keys.filter((key) => isFinitePoint(landmarks[key]));
  const size = 2 * placed.length + SCALE_VARIABLES;
  const deviations = new Float64Array(size);
  const space = gradientSpace(size);
  const points = new Map<K, { x: Dual; y: Dual }>();
  placed.forEach((key, i) => {
    const point = landmarks[key] as Point;
    const sd = (typeof stated === "number" ? stated : stated?.[key]) ?? defaultSd;
    deviations[2 * i] = sd;
    deviations[2 * i + 1] = sd;
    points.set(key, {
      x: variable(point.x, 2 * i, space),
      y: variable(point.y, 2 * i + 1, space),
    });
  });
  const first = 2 * placed.length;
  const wedgeDegrees = variable(input.wedgeDegrees, first + 2, space);
  deviations[first + 2] = input.wedgeDegrees === 0 ? 0 : input.wedgeStandardUncertaintyDegrees;
  const without = { points, wedgeDegrees, deviations, space };
  if (!scaled.ok) return { ...without, mmPerPx: undefined, noScaleReason: scaled.reason };
  const done = (mmPerPx: Dual): FilmVariables<K> => ({
    ...without,
    mmPerPx,
    noScaleReason: undefined,
  });
  if (scale.kind === "spacing") {
    deviations[first] = scale.relativeStandardUncertainty;
    return done(scaleBy(variable(1, first, space), scaled.value));
  }
  const start = points.get("markerStart" as K);
  const end = points.get("markerEnd" as K);
  if (scale.kind !== "marker" || start === undefined || end === undefined) {
    return {
      ...without,
      mmPerPx: undefined,
      noScaleReason: "no scale: both ends of the marker must be placed",
    };
  }
  deviations[first] = scale.lengthStandardUncertaintyMm;
  deviations[first + 1] = scale.planeOffsetStandardUncertaintyMm ?? 0;
  const length = variable(scale.lengthMm, first, space);
  const perPx = divide(length, hypotenuse(subtract(end.x, start.x), subtract(end.y, start.y)));
  const focus = scale.focusToFootMm;
  if (focus === undefined) return done(perPx);
  const offset = variable(scale.planeOffsetMm ?? 0, first + 1, space);
  const factor = divide(constant(focus, space), shiftBy(scaleBy(offset, -1), focus));
  return done(multiply(perPx, factor));
};
