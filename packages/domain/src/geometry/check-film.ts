import type { Finding, Outcome, Source } from "../evidence/index.ts";
import { definitionOf, footValueOf, inWords, type MeasuredFilm, type MeasureKey } from "./film.ts";
import { millimetresPerPixel, type PointMap, type Scale } from "./scale.ts";
import type { LateromedialLandmark } from "./landmarks.ts";
import {
  BONE_ANGLE_DRIFT_DEGREES,
  BONE_LENGTH_DRIFT_FRACTION,
  CROSS_CHECK_MM,
  PLAUSIBLE_MAGNIFICATION,
  WALL_MARKER_ANGLE_DEGREES,
  WALL_MARKER_GAP_MM,
} from "./settings.ts";
import { PLAIN_GEOMETRY, PROJECTION } from "./sources.ts";

const radians = (degrees: number): number => (degrees * Math.PI) / 180;

const finding = (rule: string, outcome: Outcome, detail: string, source: Source): Finding => ({
  rule: `radiograph/${rule}`,
  outcome,
  detail,
  source,
});

/** Limits of the cross-checks; a practice may set tighter ones. */
export interface CheckLimits {
  readonly boneAngleDriftDegrees: number;
  readonly crossCheckMm: number;
  readonly boneLengthDriftFraction: number;
  readonly wallMarkerGapMm: number;
  readonly wallMarkerAngleDegrees: number;
  /** Magnification that a marker may give a film. */
  readonly magnification: { readonly low: number; readonly high: number };
}

const DEFAULT_LIMITS: CheckLimits = {
  boneAngleDriftDegrees: BONE_ANGLE_DRIFT_DEGREES.value,
  crossCheckMm: CROSS_CHECK_MM.value,
  boneLengthDriftFraction: BONE_LENGTH_DRIFT_FRACTION.value,
  wallMarkerGapMm: WALL_MARKER_GAP_MM.value,
  wallMarkerAngleDegrees: WALL_MARKER_ANGLE_DEGREES.value,
  magnification: PLAUSIBLE_MAGNIFICATION.value,
};

/** True when |difference| passes the limit; a hair of slack so that a stated limit itself passes. */
const beyond = (difference: number, limit: number): boolean => Math.abs(difference) > limit + 1e-9;

const median = (values: readonly number[]): number | undefined => {
  const sorted = values.toSorted((a, b) => a - b);
  const low = sorted[Math.floor((sorted.length - 1) / 2)];
  const high = sorted[Math.ceil((sorted.length - 1) / 2)];
  return low === undefined || high === undefined ? undefined : (low + high) / 2;
};

/** Value of a measure, worked out from others where a film read on paper lacks it. */
const valueOf = (film: MeasuredFilm, key: MeasureKey): number | undefined => {
  const direct = footValueOf(film, key);
  if (direct !== undefined) return direct;
  const from = (a: MeasureKey, b: MeasureKey): number | undefined => {
    const first = footValueOf(film, a);
    const second = footValueOf(film, b);
    return first === undefined || second === undefined ? undefined : first - second;
  };
  if (key === "palmarAngleFoot") return footValueOf(film, "palmarAngleGround");
  if (key === "boneAngle") {
    return from("dorsalP3Angle", "palmarAngleGround") ?? from("dorsalP3Angle", "palmarAngleFoot");
  }
  if (key === "capsularRotation") return from("dorsalP3Angle", "dorsalWallAngle");
  return undefined;
};

const earlierMedian = (earlier: readonly MeasuredFilm[], key: MeasureKey): number | undefined =>
  median(earlier.map((film) => valueOf(film, key)).filter((v) => v !== undefined));

/** R3: the bone is rigid, so its own angle is the same on every film of the foot. */
const boneAngle = (
  film: MeasuredFilm,
  earlier: readonly MeasuredFilm[],
  limits: CheckLimits,
): readonly Finding[] => {
  const now = valueOf(film, "boneAngle");
  const before = earlierMedian(earlier, "boneAngle");
  if (now === undefined || before === undefined) return [];
  const drift = now - before;
  const figures = `${inWords(now, "deg")} now, ${inWords(before, "deg")} before`;
  return [
    beyond(drift, limits.boneAngleDriftDegrees)
      ? finding(
          "rigid-bone@1",
          "block",
          `bone angle does not match earlier films (${figures}); check the marks and which foot this is`,
          BONE_ANGLE_DRIFT_DEGREES.source,
        )
      : finding(
          "rigid-bone@1",
          "pass",
          `bone angle matches earlier films (${figures})`,
          BONE_ANGLE_DRIFT_DEGREES.source,
        ),
  ];
};

/** A bone keeps its length; remodelling of the tip can shorten it slowly, so this only warns. */
const boneLength = (
  film: MeasuredFilm,
  earlier: readonly MeasuredFilm[],
  limits: CheckLimits,
): readonly Finding[] => {
  const now = valueOf(film, "p3SolarLength");
  const before = earlierMedian(earlier, "p3SolarLength");
  if (now === undefined || before === undefined) return [];
  if (!beyond(now / before - 1, limits.boneLengthDriftFraction)) return [];
  return [
    finding(
      "bone-length@1",
      "warn",
      `length of P3 reads ${inWords(now, "mm")}, earlier films ${inWords(before, "mm")}; check the scale and the marks at tip and wing`,
      BONE_LENGTH_DRIFT_FRACTION.source,
    ),
  ];
};

/** R4: bottom = top + length along the wall × tan(rotation). */
const wallToBone = (film: MeasuredFilm, limits: CheckLimits): readonly Finding[] => {
  const top = valueOf(film, "hornLamellarProximal");
  const bottom = valueOf(film, "hornLamellarDistal");
  const rotation = valueOf(film, "capsularRotation");
  const spacing = valueOf(film, "hornLamellarSpacing");
  if (
    top === undefined ||
    bottom === undefined ||
    rotation === undefined ||
    spacing === undefined
  ) {
    return [];
  }
  const expected = top + spacing * Math.tan(radians(rotation));
  if (!beyond(bottom - expected, limits.crossCheckMm)) return [];
  return [
    finding(
      "wall-to-bone@1",
      "warn",
      `wall to bone at the bottom reads ${inWords(bottom, "mm")}, top and rotation give ${inWords(expected, "mm")}; check the marks, or the wall is dished`,
      CROSS_CHECK_MM.source,
    ),
  ];
};

/** R5: sole under the wing = sole under the tip + bone length × sin(palmar angle of the foot). */
const wing = (
  film: MeasuredFilm,
  earlier: readonly MeasuredFilm[],
  limits: CheckLimits,
): readonly Finding[] => {
  const tip = valueOf(film, "soleDepthTip");
  const read = valueOf(film, "soleDepthWing");
  const palmar = valueOf(film, "palmarAngleFoot");
  const length = earlierMedian(earlier, "p3SolarLength") ?? valueOf(film, "p3SolarLength");
  if (tip === undefined || read === undefined || length === undefined) return [];
  // On a film marked point by point the palmar angle shares the wing mark and would agree with it
  // whatever it is; the bone angle of earlier films gives an expectation of its own.
  const alpha = earlierMedian(earlier, "boneAngle");
  const front = valueOf(film, "dorsalP3Angle");
  const angles = [
    palmar,
    alpha === undefined || front === undefined ? undefined : front - alpha,
  ].filter((a) => a !== undefined);
  const worst = angles
    .map((angle) => tip + length * Math.sin(radians(angle)))
    .toSorted((a, b) => Math.abs(read - b) - Math.abs(read - a))[0];
  if (worst === undefined || !beyond(read - worst, limits.crossCheckMm)) return [];
  return [
    finding(
      "wing@1",
      "warn",
      `sole under the wing reads ${inWords(read, "mm")}, tip and palmar angle give ${inWords(worst, "mm")}; check the wing mark and the tilt of the foot`,
      CROSS_CHECK_MM.source,
    ),
  ];
};

/** A tip drawn behind the wing means the ground line was drawn from the wrong end. */
const direction = (film: MeasuredFilm): readonly Finding[] => {
  const angle = valueOf(film, "dorsalP3Angle");
  if (angle === undefined || (angle > 0 && angle < 90)) return [];
  return [
    finding(
      "toe-direction@1",
      "block",
      "the front of P3 points away from the toe: the toe and heel ends of the ground line are swapped, or front and rear marks are",
      PLAIN_GEOMETRY,
    ),
  ];
};

/**
 * Cross-checks of one film, alone and against earlier films of the same foot and view. A `block`
 * keeps the film from being reported until it is re-marked; a `warn` is to be looked at before saving.
 * Earlier films of other feet are left out.
 */
export const checkFilm = (
  film: MeasuredFilm,
  earlier: readonly MeasuredFilm[],
  limits: CheckLimits = DEFAULT_LIMITS,
): readonly Finding[] => {
  if (film.film.view !== "lateromedial") return [];
  const same = earlier.filter(
    (other) => other.film.foot === film.film.foot && other.film.view === film.film.view,
  );
  return [
    ...direction(film),
    ...boneAngle(film, same, limits),
    ...boneLength(film, same, limits),
    ...wallToBone(film, limits),
    ...wing(film, same, limits),
    ...wedgeStated(film),
  ];
};

/** Both palmar angles of a film must differ by the wedge that is stated. */
const wedgeStated = (film: MeasuredFilm): readonly Finding[] => {
  const toFoot = film.measurements.find((r) => r.key === "palmarAngleFoot")?.value;
  const toGround = film.measurements.find((r) => r.key === "palmarAngleGround")?.value;
  if (toFoot === undefined || toFoot === null || toGround === undefined || toGround === null) {
    return [];
  }
  const wedge = film.film.wedgeDegrees;
  if (Math.abs(toGround - toFoot - wedge) < 0.05) return [];
  return [
    finding(
      "two-palmar-angles@1",
      "block",
      `${definitionOf("palmarAngleGround").label} ${inWords(toGround, "deg")} and of the foot ${inWords(toFoot, "deg")} do not differ by the wedge of ${inWords(wedge, "deg")}`,
      PLAIN_GEOMETRY,
    ),
  ];
};

/** What the marker itself says about the film. */
export interface MarkerCheckInput {
  readonly landmarks: PointMap<LateromedialLandmark>;
  readonly scale: Scale;
  /** Spacing of the detector, when the file states it. */
  readonly detectorMmPerPx?: number | undefined;
}

/**
 * Checks of the marker: a wall marker must start at the coronary band and lie along the wall; and a
 * marker can never make the film smaller than life, so one that does is tilted or has another length.
 */
export const checkMarker = (
  input: MarkerCheckInput,
  limits: CheckLimits = DEFAULT_LIMITS,
): readonly Finding[] => {
  const { landmarks, scale } = input;
  if (scale.kind !== "marker") return [];
  const perPx = millimetresPerPixel(scale, landmarks);
  if (!perPx.ok) {
    return [finding("scale-required@1", "block", perPx.reason, PROJECTION)];
  }
  const findings: Finding[] = [];
  const { coronaryBand, wallDistal, markerStart, markerEnd } = landmarks;
  if (input.detectorMmPerPx !== undefined && input.detectorMmPerPx > 0) {
    const magnified = input.detectorMmPerPx / perPx.value;
    const { low, high } = limits.magnification;
    if (magnified < low || magnified > high) {
      findings.push(
        finding(
          "marker-magnification@1",
          "warn",
          magnified < low
            ? `the marker makes the film smaller than life (× ${magnified.toFixed(3)}): it is tilted, cut off, or its stated length is wrong`
            : `the marker makes the magnification × ${magnified.toFixed(3)}, more than a foot near the plate can show: check its length and place`,
          PROJECTION,
        ),
      );
    }
  }
  if (scale.place === "dorsal wall" && coronaryBand && wallDistal && markerStart && markerEnd) {
    const gapMm =
      perPx.value * Math.hypot(markerStart.x - coronaryBand.x, markerStart.y - coronaryBand.y);
    if (beyond(gapMm, limits.wallMarkerGapMm)) {
      findings.push(
        finding(
          "wall-marker-start@1",
          "warn",
          `the wall marker starts ${inWords(gapMm, "mm")} from the marked coronary band; that error goes straight into the founder distance`,
          WALL_MARKER_GAP_MM.source,
        ),
      );
    }
    const wall = Math.atan2(wallDistal.y - coronaryBand.y, wallDistal.x - coronaryBand.x);
    const marker = Math.atan2(markerEnd.y - markerStart.y, markerEnd.x - markerStart.x);
    const turn = Math.abs(Math.atan2(Math.sin(marker - wall), Math.cos(marker - wall)));
    const degrees = (turn * 180) / Math.PI;
    if (beyond(degrees, limits.wallMarkerAngleDegrees)) {
      findings.push(
        finding(
          "wall-marker-angle@1",
          "warn",
          `the wall marker lies ${inWords(degrees, "deg")} off the marked wall line; check both, or the wall is dished`,
          WALL_MARKER_ANGLE_DEGREES.source,
        ),
      );
    }
  }
  return findings;
};
