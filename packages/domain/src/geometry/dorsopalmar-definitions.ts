import { DORSOPALMAR_GUIDE, type DorsopalmarLandmark } from "./landmarks.ts";
import type { Landmark } from "./lateromedial-definitions.ts";
import type { MeasureDefinition } from "./measurement.ts";
import * as source from "./sources.ts";

const GROUND = ["groundMedial", "groundLateral"] as const;
const JOINT = [
  "jointMedialUpper",
  "jointMedialLower",
  "jointLateralUpper",
  "jointLateralLower",
] as const;
const MEDIAL_WALL = ["coronetMedial", "wallMedial", "p3MarginMedial"] as const;
const LATERAL_WALL = ["coronetLateral", "wallLateral", "p3MarginLateral"] as const;

/**
 * Dorsopalmar measures. Frame: x from medial to lateral, y up. Tilts are positive when the medial
 * (inside) is lower; differences are medial minus lateral. No published limit was found for any of
 * them, so none gets a verdict.
 */
export const DORSOPALMAR_DEFINITIONS = [
  {
    key: "p3Tilt",
    label: "Tilt of P3 (margins)",
    unit: "deg",
    definition:
      "Angle to the ground of the line joining the medial and lateral solar margins; positive when the inside is lower.",
    source: source.ASYMMETRIC_2007,
    needs: [...GROUND, "p3MarginMedial", "p3MarginLateral"],
    errorClass: "angle",
  },
  {
    key: "p3TiltForamina",
    label: "Tilt of P3 (foramina)",
    unit: "deg",
    definition:
      "Angle to the ground of the line joining the two solar foramina; positive when the inside is lower.",
    source: source.ASYMMETRIC_2007,
    needs: [...GROUND, "foramenMedial", "foramenLateral"],
    errorClass: "angle",
  },
  {
    key: "jointSpaceMedial",
    label: "Joint gap, inside",
    unit: "mm",
    definition:
      "Gap between P2 and P3 on the inside, square to the line joining the middles of both gaps.",
    source: source.DISPLACEMENT_BOOK,
    needs: JOINT,
    errorClass: "distance",
  },
  {
    key: "jointSpaceLateral",
    label: "Joint gap, outside",
    unit: "mm",
    definition: "Gap between P2 and P3 on the outside, square to the same line.",
    source: source.DISPLACEMENT_BOOK,
    needs: JOINT,
    errorClass: "distance",
  },
  {
    key: "jointSpaceDifference",
    label: "Joint gap, inside minus outside",
    unit: "mm",
    definition:
      "Positive when the inside gap is wider. One film alone is not reliable enough to steer a trim.",
    source: source.DISPLACEMENT_BOOK,
    needs: JOINT,
    errorClass: "distance",
  },
  {
    key: "soleDepthMedial",
    label: "Sole depth, inside",
    unit: "mm",
    definition: "Vertical from the medial margin of P3 to the surface the foot stands on.",
    source: source.CENTRING_STUDY,
    needs: [...GROUND, "p3MarginMedial"],
    errorClass: "distance",
    centringMatters: true,
    aboveFootSurface: true,
  },
  {
    key: "soleDepthLateral",
    label: "Sole depth, outside",
    unit: "mm",
    definition: "Vertical from the lateral margin of P3 to the surface the foot stands on.",
    source: source.CENTRING_STUDY,
    needs: [...GROUND, "p3MarginLateral"],
    errorClass: "distance",
    centringMatters: true,
    aboveFootSurface: true,
  },
  {
    key: "soleDepthDifference",
    label: "Sole depth, inside minus outside",
    unit: "mm",
    definition: "Negative when the inside has less sole.",
    source: source.CENTRING_STUDY,
    needs: [...GROUND, "p3MarginMedial", "p3MarginLateral"],
    errorClass: "distance",
    centringMatters: true,
  },
  {
    key: "wallDistanceMedial",
    label: "Wall to bone, inside",
    unit: "mm",
    definition: "From the medial margin of P3 to the outer wall line, square to the wall.",
    source: source.DISPLACEMENT_BOOK,
    needs: MEDIAL_WALL,
    errorClass: "distance",
  },
  {
    key: "wallDistanceLateral",
    label: "Wall to bone, outside",
    unit: "mm",
    definition: "From the lateral margin of P3 to the outer wall line, square to the wall.",
    source: source.DISPLACEMENT_BOOK,
    needs: LATERAL_WALL,
    errorClass: "distance",
  },
  {
    key: "wallDistanceDifference",
    label: "Wall to bone, inside minus outside",
    unit: "mm",
    definition:
      "Positive when the inside distance is larger, as in one-sided sinking of the inside.",
    source: source.DISPLACEMENT_BOOK,
    needs: [...MEDIAL_WALL, ...LATERAL_WALL],
    errorClass: "distance",
  },
  {
    key: "coronaryBandTilt",
    label: "Tilt of the coronary band",
    unit: "deg",
    definition:
      "Angle to the ground of the line joining the coronary band on both sides; positive when the inside is lower.",
    source: source.ASYMMETRIC_2007,
    needs: [...GROUND, "coronetMedial", "coronetLateral"],
    errorClass: "angle",
  },
] as const satisfies readonly MeasureDefinition<string, DorsopalmarLandmark>[];

export type DorsopalmarMeasure = (typeof DORSOPALMAR_DEFINITIONS)[number]["key"];

/** Points of the dorsopalmar view with a guide and what each is needed for. */
export const DORSOPALMAR_LANDMARKS: readonly Landmark<DorsopalmarLandmark>[] =
  DORSOPALMAR_GUIDE.map((guide) => ({
    ...guide,
    requiredFor: DORSOPALMAR_DEFINITIONS.filter((m) =>
      guide.key === "markerStart" || guide.key === "markerEnd"
        ? m.unit === "mm"
        : (m.needs as readonly string[]).includes(guide.key),
    ).map((m) => m.key),
  }));
