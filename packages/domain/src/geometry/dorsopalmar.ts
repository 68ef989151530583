import {
  arcTangent2,
  between,
  dot,
  midpoint,
  multiply,
  negate,
  subtract,
  toDegrees,
  unit,
  type Dual,
  type DualPoint,
} from "./dual.ts";
import { DORSOPALMAR_DEFINITIONS, type DorsopalmarMeasure } from "./dorsopalmar-definitions.ts";
import { besideLine, footFrame } from "./frame.ts";
import { DORSOPALMAR_GUIDE, type DorsopalmarLandmark } from "./landmarks.ts";
import { missingMeasurement, toMeasurement, type Measurement } from "./measurement.ts";
import { referenceFor, type AnimalType } from "./references.ts";
import {
  filmVariables,
  type LandmarkDeviation,
  type LandmarkSpread,
  type PointMap,
  type Scale,
} from "./scale.ts";

/** Points in image pixels, with the facts about the film that the measures depend on. */
export interface DorsopalmarInput {
  readonly landmarks: PointMap<DorsopalmarLandmark>;
  readonly scale: Scale;
  readonly animal?: AnimalType | undefined;
  /** See the lateromedial input. */
  readonly groundLineOn?: "ground" | "foot surface" | undefined;
  readonly shod?: boolean | undefined;
  readonly landmarkStandardUncertaintyPx?: LandmarkDeviation<DorsopalmarLandmark> | undefined;
  /** What a hand scatters by; the standard figures when left out. */
  readonly landmarkSpread?: LandmarkSpread | undefined;
}

const KEYS = DORSOPALMAR_GUIDE.map((guide) => guide.key);
const labelOf = new Map<string, string>(DORSOPALMAR_GUIDE.map((g) => [g.key, g.label]));

type At = (key: DorsopalmarLandmark) => DualPoint;

/** Rise from the medial to the lateral point: positive when the medial point is lower. */
const tilt = (at: At, medial: DorsopalmarLandmark, lateral: DorsopalmarLandmark): Dual => {
  const across = between(at(medial), at(lateral));
  return toDegrees(arcTangent2(across.y, across.x));
};

const gap = (at: At, side: "Medial" | "Lateral"): Dual => {
  const middle = (which: "Medial" | "Lateral"): DualPoint =>
    midpoint(at(`joint${which}Upper`), at(`joint${which}Lower`));
  const along = unit(between(middle("Medial"), middle("Lateral")));
  const up: DualPoint = { x: negate(along.y), y: along.x };
  return dot(up, between(at(`joint${side}Lower`), at(`joint${side}Upper`)));
};

/** Positive inside the hoof on both sides. */
const wallDistance = (at: At, side: "Medial" | "Lateral"): Dual => {
  const top = at(`coronet${side}`);
  const beside = besideLine(top, unit(between(top, at(`wall${side}`))), at(`p3Margin${side}`));
  return side === "Medial" ? beside : negate(beside);
};

const FORMULAS: Record<DorsopalmarMeasure, (at: At) => Dual> = {
  p3Tilt: (at) => tilt(at, "p3MarginMedial", "p3MarginLateral"),
  p3TiltForamina: (at) => tilt(at, "foramenMedial", "foramenLateral"),
  jointSpaceMedial: (at) => gap(at, "Medial"),
  jointSpaceLateral: (at) => gap(at, "Lateral"),
  jointSpaceDifference: (at) => subtract(gap(at, "Medial"), gap(at, "Lateral")),
  soleDepthMedial: (at) => at("p3MarginMedial").y,
  soleDepthLateral: (at) => at("p3MarginLateral").y,
  soleDepthDifference: (at) => subtract(at("p3MarginMedial").y, at("p3MarginLateral").y),
  wallDistanceMedial: (at) => wallDistance(at, "Medial"),
  wallDistanceLateral: (at) => wallDistance(at, "Lateral"),
  wallDistanceDifference: (at) => subtract(wallDistance(at, "Medial"), wallDistance(at, "Lateral")),
  coronaryBandTilt: (at) => tilt(at, "coronetMedial", "coronetLateral"),
};

const ABOVE: readonly DorsopalmarLandmark[] = [
  "p3MarginMedial",
  "p3MarginLateral",
  "foramenMedial",
  "foramenLateral",
  "coronetMedial",
  "coronetLateral",
  "jointMedialUpper",
  "jointLateralUpper",
];

/**
 * All dorsopalmar measures of one film, in the order of their definitions; one that cannot be given
 * has a null value and says why. The film may be mirrored: the sides follow from the named points.
 */
export const measureDorsopalmar = (
  input: DorsopalmarInput,
): readonly Measurement<DorsopalmarMeasure>[] => {
  const variables = filmVariables(KEYS, {
    landmarks: input.landmarks,
    scale: input.scale,
    wedgeDegrees: 0,
    wedgeStandardUncertaintyDegrees: 0,
    landmarkStandardUncertaintyPx: input.landmarkStandardUncertaintyPx,
    landmarkSpread: input.landmarkSpread,
  });
  const { points, mmPerPx, noScaleReason, deviations } = variables;
  const medial = points.get("groundMedial");
  const lateral = points.get("groundLateral");
  const above = ABOVE.map((key) => points.get(key)).filter((p) => p !== undefined);
  const frame =
    medial === undefined || lateral === undefined || above.length === 0
      ? undefined
      : footFrame(medial, lateral, {
          x: above.reduce((sum, p) => sum + p.x.value, 0) / above.length,
          y: above.reduce((sum, p) => sum + p.y.value, 0) / above.length,
        });
  const placed = new Map<DorsopalmarLandmark, DualPoint>();
  if (frame !== undefined) {
    for (const [key, point] of points) placed.set(key, frame.place(point));
  }
  const at: At = (key) => {
    const point = placed.get(key);
    if (point === undefined) throw new Error(`landmark ${key} used without being required`);
    return point;
  };
  const deviceHidesFoot = input.shod === true && (input.groundLineOn ?? "ground") === "ground";
  return DORSOPALMAR_DEFINITIONS.map((measure) => {
    const absent = [
      ...(["groundMedial", "groundLateral"] as const),
      ...measure.needs.filter((key) => key !== "groundMedial" && key !== "groundLateral"),
    ].filter((key) => !points.has(key));
    if (absent.length > 0 || frame === undefined) {
      return missingMeasurement(
        measure,
        `not placed: ${absent.map((key) => labelOf.get(key) ?? key).join(", ")}`,
      );
    }
    if (measure.unit === "mm" && mmPerPx === undefined) {
      return missingMeasurement(measure, noScaleReason ?? "no scale");
    }
    if ("aboveFootSurface" in measure && deviceHidesFoot) {
      return missingMeasurement(
        measure,
        "the ground line must be drawn on top of the shoe for this height",
      );
    }
    const raw = FORMULAS[measure.key](at);
    const value = measure.unit === "mm" && mmPerPx !== undefined ? multiply(raw, mmPerPx) : raw;
    return toMeasurement(measure, value, deviations, referenceFor(measure.key, input.animal));
  });
};
