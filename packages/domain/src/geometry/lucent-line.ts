import type { Point } from "./circle-fit.ts";
import {
  between,
  cross,
  divide,
  dot,
  lengthOf,
  multiply,
  add,
  constant,
  scaleBy,
  standardUncertaintyOf,
  subtract,
  unit,
  type Dual,
  type DualPoint,
  type GradientSpace,
} from "./dual.ts";
import {
  toMeasurement,
  missingMeasurement,
  type Measurement,
  type MeasureUnit,
} from "./measurement.ts";
import { filmVariables, type LandmarkSpread, type Scale } from "./scale.ts";
import { GAS_SHADOW, PLAIN_GEOMETRY, WALL_OPENING } from "./sources.ts";
import type { Finding } from "../evidence/index.ts";

/** A dark shadow between wall and bone, outlined by hand. Points in image pixels, in order round it. */
export interface LucentLineInput {
  readonly outline: readonly Point[];
  readonly coronaryBand: Point;
  readonly wallDistal: Point;
  readonly markerStart?: Point | undefined;
  readonly markerEnd?: Point | undefined;
  readonly scale: Scale;
  readonly landmarkStandardUncertaintyPx?: number | undefined;
  /** What a hand scatters by; the standard figures when left out. */
  readonly landmarkSpread?: LandmarkSpread | undefined;
}

export type LucentLineMeasure =
  | "lucentLength"
  | "lucentExtentAlongWall"
  | "lucentStart"
  | "lucentEnd"
  | "lucentWidth"
  | "lucentMeanWidth";

interface LucentDefinition {
  readonly key: LucentLineMeasure;
  readonly label: string;
  readonly unit: MeasureUnit;
  readonly definition: string;
  readonly source: typeof PLAIN_GEOMETRY;
}
const define = (key: LucentLineMeasure, label: string, definition: string): LucentDefinition => ({
  key,
  label,
  unit: "mm",
  definition,
  source: PLAIN_GEOMETRY,
});

const DEFINITIONS = [
  define("lucentLength", "Longest length", "Largest distance between two points of the outline."),
  define(
    "lucentExtentAlongWall",
    "Extent along the wall",
    "From the upper to the lower end of the shadow, measured along the wall line.",
  ),
  define(
    "lucentStart",
    "Starts below the coronary band",
    "Along the wall from the top of the wall to the upper end of the shadow.",
  ),
  define(
    "lucentEnd",
    "Ends below the coronary band",
    "Along the wall from the top of the wall to the lower end of the shadow.",
  ),
  define("lucentWidth", "Depth across", "Extent square to the wall."),
  define("lucentMeanWidth", "Mean width", "Area divided by the extent along the wall."),
] as const;

export interface LucentLineResult {
  readonly measurements: readonly Measurement<LucentLineMeasure>[];
  /** Area of the outline, mm²; null without a scale. */
  readonly areaMm2: { readonly value: number; readonly standardUncertainty: number } | null;
  readonly findings: readonly Finding[];
}

const MAX_POINTS = 400;

const crosses = (a: Point, b: Point, c: Point, d: Point): boolean => {
  const turn = (p: Point, q: Point, r: Point): number =>
    (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
  return turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0;
};

const isSimple = (outline: readonly Point[]): boolean => {
  const n = outline.length;
  for (let i = 0; i < n; i++) {
    for (let j = i + 2; j < n; j++) {
      if (i === 0 && j === n - 1) continue;
      const [a, b, c, d] = [outline[i], outline[(i + 1) % n], outline[j], outline[(j + 1) % n]];
      if (a && b && c && d && crosses(a, b, c, d)) return false;
    }
  }
  return true;
};

const refusal = (detail: string): LucentLineResult => ({
  measurements: DEFINITIONS.map((d) => missingMeasurement(d, detail)),
  areaMm2: null,
  findings: [
    { rule: "radiograph/lucent-outline@1", outcome: "block", detail, source: PLAIN_GEOMETRY },
  ],
});

/** Said beside every outlined shadow. */
const CAUTIONS: readonly Finding[] = [
  {
    rule: "radiograph/lucent-contents@1",
    outcome: "note",
    detail:
      "A dark shadow shows a void under the wall; whether it holds gas, serum or blood is not known until it is opened.",
    source: GAS_SHADOW,
  },
  {
    rule: "radiograph/lucent-opening@1",
    outcome: "note",
    detail:
      "Opening or resecting the wall is veterinary surgery: it needs an order signed by a vet.",
    source: WALL_OPENING,
  },
];

const extreme = (values: readonly Dual[], better: (a: number, b: number) => boolean): Dual =>
  values.reduce((best, next) => (better(next.value, best.value) ? next : best));

/**
 * Length, extent along the wall and area of an outlined shadow, each with its uncertainty. The outline
 * needs 3–400 points and must not cross itself; without a scale everything is refused.
 */
export const measureLucentLine = (input: LucentLineInput): LucentLineResult => {
  const { outline } = input;
  if (outline.length < 3 || outline.length > MAX_POINTS) {
    return refusal(`an outline needs 3 to ${MAX_POINTS} points; it has ${outline.length}`);
  }
  if (!outline.every((p) => Number.isFinite(p.x) && Number.isFinite(p.y))) {
    return refusal("a point of the outline is not a number");
  }
  if (!isSimple(outline)) return refusal("the outline crosses itself");
  const names = outline.map((_, i) => `outline${i}`);
  const variables = filmVariables<string>(
    ["coronaryBand", "wallDistal", "markerStart", "markerEnd", ...names],
    {
      landmarks: {
        coronaryBand: input.coronaryBand,
        wallDistal: input.wallDistal,
        markerStart: input.markerStart,
        markerEnd: input.markerEnd,
        ...Object.fromEntries(outline.map((p, i) => [`outline${i}`, p])),
      },
      scale: input.scale,
      wedgeDegrees: 0,
      wedgeStandardUncertaintyDegrees: 0,
      landmarkStandardUncertaintyPx: input.landmarkStandardUncertaintyPx,
      landmarkSpread: input.landmarkSpread,
    },
  );
  const { points, mmPerPx, deviations, space } = variables;
  const top = points.get("coronaryBand");
  const low = points.get("wallDistal");
  const placed = names.map((name) => points.get(name)).filter((p) => p !== undefined);
  if (mmPerPx === undefined) return refusal(variables.noScaleReason ?? "no scale");
  if (top === undefined || low === undefined) return refusal("the wall line is not placed");
  const wall = unit(between(top, low));
  const along = placed.map((p) => dot(wall, between(top, p)));
  const across = placed.map((p) => cross(wall, between(top, p)));
  const start = extreme(along, (a, b) => a < b);
  const end = extreme(along, (a, b) => a > b);
  const width = subtract(
    extreme(across, (a, b) => a > b),
    extreme(across, (a, b) => a < b),
  );
  const area = areaOf(placed, space);
  const values: Record<LucentLineMeasure, Dual> = {
    lucentLength: longest(placed),
    lucentExtentAlongWall: subtract(end, start),
    lucentStart: start,
    lucentEnd: end,
    lucentWidth: width,
    lucentMeanWidth: divide(area, subtract(end, start)),
  };
  const areaMm2 = multiply(area, multiply(mmPerPx, mmPerPx));
  return {
    measurements: DEFINITIONS.map((d) =>
      toMeasurement(d, multiply(values[d.key], mmPerPx), deviations, undefined),
    ),
    areaMm2: {
      value: areaMm2.value,
      standardUncertainty: standardUncertaintyOf(areaMm2, deviations),
    },
    findings: CAUTIONS,
  };
};

const areaOf = (points: readonly DualPoint[], space: GradientSpace): Dual => {
  const first = points[0];
  if (first === undefined) return constant(Number.NaN, space);
  let twice = constant(0, space);
  for (let i = 1; i + 1 < points.length; i++) {
    const [a, b] = [points[i], points[i + 1]];
    if (a && b) twice = add(twice, cross(between(first, a), between(first, b)));
  }
  return scaleBy(twice, twice.value < 0 ? -0.5 : 0.5);
};

const longest = (points: readonly DualPoint[]): Dual => {
  let best: readonly [DualPoint, DualPoint] | undefined;
  let bestLength = -1;
  for (const [i, a] of points.entries()) {
    for (const b of points.slice(i + 1)) {
      const length = Math.hypot(b.x.value - a.x.value, b.y.value - a.y.value);
      if (length > bestLength) {
        bestLength = length;
        best = [a, b];
      }
    }
  }
  if (best === undefined) throw new Error("an outline has at least two points");
  return lengthOf(between(best[0], best[1]));
};
