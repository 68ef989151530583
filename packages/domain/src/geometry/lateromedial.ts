import {
  fitCircle,
  fitDualCircle,
  type Circle,
  type DualCircle,
  type Point,
} from "./circle-fit.ts";
import {
  add,
  arcTangent2,
  between,
  constant,
  cosine,
  divide,
  dot,
  lengthOf,
  midpoint,
  multiply,
  negate,
  scaleBy,
  shiftBy,
  sine,
  subtract,
  toDegrees,
  toRadians,
  unit,
  type Dual,
  type DualPoint,
} from "./dual.ts";
import { besideLine, footFrame, type FootFrame } from "./frame.ts";
import { ARTICULAR_POINTS, LATEROMEDIAL_GUIDE, type LateromedialLandmark } from "./landmarks.ts";
import {
  CIRCLE_MEASURES,
  LATEROMEDIAL_DEFINITIONS,
  type LateromedialMeasure,
} from "./lateromedial-definitions.ts";
import { missingMeasurement, toMeasurement, type Measurement } from "./measurement.ts";
import { referenceFor, type AnimalType } from "./references.ts";
import {
  filmVariables,
  type FilmVariables,
  type LandmarkDeviation,
  type LandmarkSpread,
  type PointMap,
  type Scale,
} from "./scale.ts";
import { WEDGE_SD_DEGREES } from "./settings.ts";

/** Points in image pixels, with the facts about the film that the measures depend on. */
export interface LateromedialInput {
  readonly landmarks: PointMap<LateromedialLandmark>;
  readonly scale: Scale;
  readonly animal?: AnimalType | undefined;
  /** Wedge under the foot, degrees, heel raised positive. */
  readonly wedgeDegrees?: number | undefined;
  readonly wedgeStandardUncertaintyDegrees?: number | undefined;
  /**
   * What the ground line was drawn on: the ground itself, or the surface the foot stands on (top of
   * shoe or wedge). Bare on a block both are the same.
   */
  readonly groundLineOn?: "ground" | "foot surface" | undefined;
  /** A shoe is on. With the line on the ground, sole depths and heights are then refused. */
  readonly shod?: boolean | undefined;
  /** Standard deviation of a landmark coordinate in pixels, for all points or by point. */
  readonly landmarkStandardUncertaintyPx?: LandmarkDeviation<LateromedialLandmark> | undefined;
  /** What a hand scatters by; the standard figures when left out. */
  readonly landmarkSpread?: LandmarkSpread | undefined;
}

const KEYS = LATEROMEDIAL_GUIDE.map((guide) => guide.key);

/** Everything the formulas share, each worked out once. Lengths in pixels. */
interface Working {
  readonly at: (key: LateromedialLandmark) => DualPoint;
  readonly wall: DualPoint;
  readonly wallRadians: Dual;
  readonly p3Radians: Dual;
  readonly p2Radians: Dual;
  readonly palmarRadians: Dual;
  readonly circle: DualCircle;
  readonly wedge: Dual;
  /** Degrees to add to an angle in the frame to get the angle to the ground. */
  readonly toGround: Dual;
  /** Radians by which the frame must be turned to stand upright on the foot surface. */
  readonly toFoot: Dual;
  readonly fromWall: (point: DualPoint) => Dual;
}

/** Angle to the ground of a line that runs from its upper (heel-side) end to its lower (toe-side) end. */
const descent = (upper: DualPoint, lower: DualPoint): Dual =>
  arcTangent2(subtract(upper.y, lower.y), subtract(lower.x, upper.x));

const once = <T>(compute: () => T): (() => T) => {
  let done: { readonly value: T } | undefined;
  return () => (done ??= { value: compute() }).value;
};

const workingOf = (
  variables: FilmVariables<LateromedialLandmark>,
  frame: FootFrame | undefined,
  lineOnGround: boolean,
): Working => {
  const { points, space, wedgeDegrees } = variables;
  const placed = new Map<LateromedialLandmark, DualPoint>();
  const at = (key: LateromedialLandmark): DualPoint => {
    const known = placed.get(key);
    if (known !== undefined) return known;
    const raw = points.get(key);
    if (raw === undefined) throw new Error(`landmark ${key} used without being required`);
    const point = frame === undefined ? raw : frame.place(raw);
    placed.set(key, point);
    return point;
  };
  const zero = constant(0, space);
  const wall = once(() => unit(between(at("coronaryBand"), at("wallDistal"))));
  const wallRadians = once(() => descent(at("coronaryBand"), at("wallDistal")));
  const p3Radians = once(() => descent(at("p3DorsalProximal"), at("p3Tip")));
  const p2Radians = once(() => descent(at("p2AxisProximal"), at("p2AxisDistal")));
  const palmarRadians = once(() => descent(at("p3Wing"), at("p3Tip")));
  const circle = once(() => {
    const outline = ARTICULAR_POINTS.filter((key) => points.has(key)).map(at);
    const fitted = fitDualCircle(outline);
    const nowhere = constant(Number.NaN, space);
    return fitted ?? { centre: { x: nowhere, y: nowhere }, radius: nowhere };
  });
  return {
    at,
    get wall() {
      return wall();
    },
    get wallRadians() {
      return wallRadians();
    },
    get p3Radians() {
      return p3Radians();
    },
    get p2Radians() {
      return p2Radians();
    },
    get palmarRadians() {
      return palmarRadians();
    },
    get circle() {
      return circle();
    },
    wedge: wedgeDegrees,
    toGround: lineOnGround ? zero : wedgeDegrees,
    toFoot: lineOnGround ? toRadians(wedgeDegrees) : zero,
    fromWall: (point) => negate(besideLine(at("coronaryBand"), wall(), point)),
  };
};

const alongGround = (from: DualPoint, to: DualPoint): Dual => subtract(to.x, from.x);
const difference = (a: Dual, b: Dual): Dual => toDegrees(subtract(a, b));
const percent = (part: Dual, whole: Dual): Dual => scaleBy(divide(part, whole), 100);
const p3Middle = (w: Working): DualPoint => midpoint(w.at("p3DorsalProximal"), w.at("p3Tip"));
const spacing = (w: Working): Dual => dot(w.wall, between(w.at("p3DorsalProximal"), w.at("p3Tip")));
const bearing = (w: Working): Dual => alongGround(w.at("heel"), w.at("breakover"));
const lever = (w: Working): Dual => alongGround(w.circle.centre, w.at("breakover"));

/** The formulas, lengths in pixels, angles in degrees. */
const FORMULAS: Record<LateromedialMeasure, (w: Working) => Dual> = {
  dorsalWallAngle: (w) => add(toDegrees(w.wallRadians), w.toGround),
  dorsalP3Angle: (w) => add(toDegrees(w.p3Radians), w.toGround),
  p2AxisAngle: (w) => add(toDegrees(w.p2Radians), w.toGround),
  capsularRotation: (w) => difference(w.p3Radians, w.wallRadians),
  phalangealRotation: (w) => difference(w.p3Radians, w.p2Radians),
  digitalAlignment: (w) => shiftBy(difference(w.p2Radians, w.p3Radians), 180),
  hornLamellarProximal: (w) => w.fromWall(w.at("p3DorsalProximal")),
  hornLamellarMid: (w) => w.fromWall(p3Middle(w)),
  hornLamellarDistal: (w) => w.fromWall(w.at("p3Tip")),
  hornLamellarSpacing: spacing,
  rotationFromWallDistances: (w) =>
    toDegrees(
      arcTangent2(
        subtract(w.fromWall(w.at("p3Tip")), w.fromWall(w.at("p3DorsalProximal"))),
        spacing(w),
      ),
    ),
  hornLamellarRatio: (w) =>
    divide(
      w.fromWall(p3Middle(w)),
      lengthOf(between(w.at("p3Tip"), w.at("navicularArticulation"))),
    ),
  founderDistance: (w) => {
    const rise = between(w.at("extensorProcess"), w.at("coronaryBand"));
    return add(multiply(rise.x, sine(w.toFoot)), multiply(rise.y, cosine(w.toFoot)));
  },
  soleDepthTip: (w) => w.at("p3Tip").y,
  soleDepthWing: (w) => w.at("p3Wing").y,
  palmarAngleGround: (w) => add(toDegrees(w.palmarRadians), w.toGround),
  palmarAngleFoot: (w) => subtract(add(toDegrees(w.palmarRadians), w.toGround), w.wedge),
  boneAngle: (w) => difference(w.p3Radians, w.palmarRadians),
  p3SolarLength: (w) => lengthOf(between(w.at("p3Tip"), w.at("p3Wing"))),
  p3PalmarLength: (w) => lengthOf(between(w.at("p3Tip"), w.at("navicularArticulation"))),
  toeLength: (w) => dot(w.wall, between(w.at("coronaryBand"), w.at("breakover"))),
  toeHeight: (w) => w.at("coronaryBand").y,
  heelHeight: (w) => w.at("coronaryBandHeel").y,
  heelToeHeightRatio: (w) => percent(w.at("coronaryBandHeel").y, w.at("coronaryBand").y),
  bearingLength: bearing,
  breakoverDistance: (w) => alongGround(w.at("p3Tip"), w.at("breakover")),
  breakoverFromFrogTip: (w) => alongGround(w.at("frogTip"), w.at("breakover")),
  leverArm: lever,
  centreOfRotationHeight: (w) => w.circle.centre.y,
  articularRadius: (w) => w.circle.radius,
  foreProportion: (w) => percent(lever(w), bearing(w)),
  aftProportion: (w) => shiftBy(negate(percent(lever(w), bearing(w))), 100),
};

const ABOVE: readonly LateromedialLandmark[] = [
  "p3Tip",
  "p3Wing",
  "coronaryBand",
  "extensorProcess",
  "p3DorsalProximal",
  "coronaryBandHeel",
  "p2Articular3",
];

const frameOf = (variables: FilmVariables<LateromedialLandmark>): FootFrame | undefined => {
  const heel = variables.points.get("groundHeel");
  const toe = variables.points.get("groundToe");
  const above = ABOVE.map((key) => variables.points.get(key)).filter((p) => p !== undefined);
  if (heel === undefined || toe === undefined || above.length === 0) return undefined;
  const mean = (pick: (p: DualPoint) => number): number =>
    above.reduce((sum, p) => sum + pick(p), 0) / above.length;
  return footFrame(heel, toe, { x: mean((p) => p.x.value), y: mean((p) => p.y.value) });
};

const labelOf = new Map<string, string>(LATEROMEDIAL_GUIDE.map((g) => [g.key, g.label]));

/**
 * Without a ground line the film is still put the right way round, from wall to heel along the bone,
 * so that measures that need no ground (rotation, wall-to-bone distances) keep their signs.
 */
const boneFrame = (variables: FilmVariables<LateromedialLandmark>): FootFrame | undefined => {
  const tip = variables.points.get("p3Tip");
  const wing = variables.points.get("p3Wing");
  const above = variables.points.get("p3DorsalProximal") ?? variables.points.get("coronaryBand");
  if (tip === undefined || wing === undefined || above === undefined) return undefined;
  return footFrame(wing, tip, { x: above.x.value, y: above.y.value });
};

/**
 * All lateromedial measures of one film, in the order of their definitions. Every measure is always
 * in the list; one that cannot be given has a null value and says why.
 */
export const measureLateromedial = (
  input: LateromedialInput,
): readonly Measurement<LateromedialMeasure>[] => {
  const wedge = input.wedgeDegrees ?? 0;
  const lineOnGround = (input.groundLineOn ?? "ground") === "ground";
  const variables = filmVariables(KEYS, {
    landmarks: input.landmarks,
    scale: input.scale,
    wedgeDegrees: wedge,
    wedgeStandardUncertaintyDegrees:
      input.wedgeStandardUncertaintyDegrees ?? WEDGE_SD_DEGREES.value,
    landmarkStandardUncertaintyPx: input.landmarkStandardUncertaintyPx,
    landmarkSpread: input.landmarkSpread,
  });
  const { points, mmPerPx, noScaleReason, deviations } = variables;
  const ground = frameOf(variables);
  const frame = ground ?? boneFrame(variables);
  const working = workingOf(variables, frame, lineOnGround);
  const articular = ARTICULAR_POINTS.filter((key) => points.has(key)).length;
  const deviceHidesFoot = lineOnGround && (wedge !== 0 || input.shod === true);
  return LATEROMEDIAL_DEFINITIONS.map((measure) => {
    const absent = measure.needs.filter((key) => !points.has(key));
    if (absent.length > 0) {
      return missingMeasurement(
        measure,
        `not placed: ${absent.map((key) => labelOf.get(key) ?? key).join(", ")}`,
      );
    }
    if (CIRCLE_MEASURES.has(measure.key) && articular < 3) {
      return missingMeasurement(
        measure,
        `not placed: at least three points on the joint surface of P2 (${articular} so far)`,
      );
    }
    if (frame === undefined) {
      return missingMeasurement(measure, "not placed: ground line, or tip and wing of P3");
    }
    if (measure.unit === "mm" && mmPerPx === undefined) {
      return missingMeasurement(measure, noScaleReason ?? "no scale");
    }
    if ("aboveFootSurface" in measure && deviceHidesFoot) {
      return missingMeasurement(
        measure,
        "the ground line must be drawn on top of the shoe or wedge for this height",
      );
    }
    const raw = FORMULAS[measure.key](working);
    const value = measure.unit === "mm" && mmPerPx !== undefined ? multiply(raw, mmPerPx) : raw;
    return toMeasurement(measure, value, deviations, referenceFor(measure.key, input.animal));
  });
};

/** Circle through the joint surface of P2 in image pixels, for drawing. Undefined below three points. */
export const articularCircle = (landmarks: PointMap<LateromedialLandmark>): Circle | undefined =>
  fitCircle(
    ARTICULAR_POINTS.map((key) => landmarks[key]).filter((p): p is Point => p !== undefined),
  );
