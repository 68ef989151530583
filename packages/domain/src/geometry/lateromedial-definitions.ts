import {
  ARTICULAR_POINTS,
  LATEROMEDIAL_GUIDE,
  type LandmarkGuide,
  type LateromedialLandmark,
} from "./landmarks.ts";
import type { MeasureDefinition } from "./measurement.ts";
import * as source from "./sources.ts";

const GROUND = ["groundToe", "groundHeel"] as const;
const WALL = ["coronaryBand", "wallDistal"] as const;
const P3_FRONT = ["p3DorsalProximal", "p3Tip"] as const;
const P3_SOLE = ["p3Tip", "p3Wing"] as const;
const P2_AXIS = ["p2AxisProximal", "p2AxisDistal"] as const;
const BEARING = ["breakover", "heel"] as const;
/** The circle needs any three of the five joint-surface points; the fit itself checks the number. */
const JOINT = [] as const;

/**
 * Lateromedial measures. Frame: x towards the toe, y up, ground at y = 0. "To the ground" angles are
 * acute and open towards the heel.
 */
export const LATEROMEDIAL_DEFINITIONS = [
  {
    key: "dorsalWallAngle",
    label: "Dorsal hoof wall angle",
    unit: "deg",
    definition:
      "Angle between the outer surface of the dorsal wall and the ground, as the foot stood (S).",
    source: source.HOOF_AXES,
    needs: [...GROUND, ...WALL],
    errorClass: "angle",
    carriesWedge: true,
  },
  {
    key: "dorsalP3Angle",
    label: "Dorsal angle of P3",
    unit: "deg",
    definition: "Angle between the front of P3 and the ground, as the foot stood (T).",
    source: source.HOOF_AXES,
    needs: [...GROUND, ...P3_FRONT],
    errorClass: "angle",
    carriesWedge: true,
  },
  {
    key: "p2AxisAngle",
    label: "Axis of P2",
    unit: "deg",
    definition: "Angle between the long axis of P2 and the ground, as the foot stood (U).",
    source: source.HOOF_AXES,
    needs: [...GROUND, ...P2_AXIS],
    errorClass: "angle",
    carriesWedge: true,
  },
  {
    key: "capsularRotation",
    label: "Capsular rotation",
    unit: "deg",
    definition:
      "Dorsal P3 angle minus wall angle (H = T − S); positive when wall and bone spread apart towards the toe. A dished or overgrown toe exaggerates it.",
    source: source.HOOF_AXES,
    needs: [...WALL, ...P3_FRONT],
    errorClass: "angle",
  },
  {
    key: "phalangealRotation",
    label: "Phalangeal rotation",
    unit: "deg",
    definition:
      "Dorsal P3 angle minus P2 axis angle (R = T − U); positive when P3 is steeper than P2 (broken forward).",
    source: source.HOOF_AXES,
    needs: [...P3_FRONT, ...P2_AXIS],
    errorClass: "angle",
  },
  {
    key: "digitalAlignment",
    label: "Digital alignment",
    unit: "deg",
    definition:
      "180° minus phalangeal rotation: 180° is straight, less is bent forward at the coffin joint.",
    source: source.HORN_LAMELLAR,
    needs: [...P3_FRONT, ...P2_AXIS],
    errorClass: "angle",
  },
  {
    key: "hornLamellarProximal",
    label: "Wall to bone, top",
    unit: "mm",
    definition:
      "From the front of P3 just below the extensor process to the outer wall line, square to the wall.",
    source: source.HORN_LAMELLAR,
    needs: [...WALL, "p3DorsalProximal"],
    errorClass: "distance",
  },
  {
    key: "hornLamellarMid",
    label: "Wall to bone, middle",
    unit: "mm",
    definition: "Half way along the front of P3 to the outer wall line, square to the wall.",
    source: source.PLAIN_GEOMETRY,
    needs: [...WALL, ...P3_FRONT],
    errorClass: "distance",
  },
  {
    key: "hornLamellarDistal",
    label: "Wall to bone, bottom",
    unit: "mm",
    definition: "From the tip of P3 to the outer wall line, square to the wall.",
    source: source.HORN_LAMELLAR,
    needs: [...WALL, "p3Tip"],
    errorClass: "distance",
  },
  {
    key: "hornLamellarSpacing",
    label: "Length between the wall-to-bone readings",
    unit: "mm",
    definition: "Distance along the wall between the feet of the top and bottom perpendiculars.",
    source: source.PLAIN_GEOMETRY,
    needs: [...WALL, ...P3_FRONT],
    errorClass: "distance",
  },
  {
    key: "rotationFromWallDistances",
    label: "Rotation from wall-to-bone distances",
    unit: "deg",
    definition: "atan((bottom − top) ÷ length along the wall between them).",
    source: source.PLAIN_GEOMETRY,
    needs: [...WALL, ...P3_FRONT],
    errorClass: "angle",
  },
  {
    key: "hornLamellarRatio",
    label: "Wall-to-bone ratio",
    unit: "ratio",
    definition:
      "Wall to bone, middle, divided by the palmar length of P3 (tip to navicular articulation); no scale needed.",
    source: source.RATIO_415,
    needs: [...WALL, ...P3_FRONT, "navicularArticulation"],
    errorClass: "own",
  },
  {
    key: "founderDistance",
    label: "Founder distance",
    unit: "mm",
    definition:
      "Vertical distance from the top of the dorsal wall down to the top of the extensor process (D), upright to the foot surface; positive when the bone lies below the top of the wall.",
    source: source.FOUNDER_1999,
    needs: [...GROUND, "coronaryBand", "extensorProcess"],
    errorClass: "founder",
  },
  {
    key: "soleDepthTip",
    label: "Sole depth under the tip",
    unit: "mm",
    definition:
      "Vertical from the tip of P3 to the surface the foot stands on (top of the shoe when shod).",
    source: source.SOLE_DEPTH,
    needs: [...GROUND, "p3Tip"],
    errorClass: "distance",
    centringMatters: true,
    aboveFootSurface: true,
  },
  {
    key: "soleDepthWing",
    label: "Sole depth under the wing",
    unit: "mm",
    definition:
      "Vertical from the wing of P3 to the surface the foot stands on (top of the shoe when shod).",
    source: source.HORN_LAMELLAR,
    needs: [...GROUND, "p3Wing"],
    errorClass: "distance",
    centringMatters: true,
    aboveFootSurface: true,
  },
  {
    key: "palmarAngleGround",
    label: "Palmar angle to the ground",
    unit: "deg",
    definition:
      "Angle of the line from tip to wing of P3 to the ground, with any wedge; positive when the wing is higher.",
    source: source.PALMAR_ANGLE_BOOK,
    needs: [...GROUND, ...P3_SOLE],
    errorClass: "angle",
    carriesWedge: true,
    centringMatters: true,
  },
  {
    key: "palmarAngleFoot",
    label: "Palmar angle of the foot",
    unit: "deg",
    definition:
      "Palmar angle to the ground minus the wedge under the foot; the figure to compare between films.",
    source: source.PLAIN_GEOMETRY,
    needs: [...GROUND, ...P3_SOLE],
    errorClass: "angle",
    centringMatters: true,
  },
  {
    key: "boneAngle",
    label: "Bone angle",
    unit: "deg",
    definition:
      "Dorsal P3 angle minus palmar angle (α): the shape of the bone, the same on every film of one foot.",
    source: source.PLAIN_GEOMETRY,
    needs: [...P3_FRONT, "p3Wing"],
    errorClass: "angle",
  },
  {
    key: "p3SolarLength",
    label: "Length of P3, tip to wing",
    unit: "mm",
    definition: "Straight length from the tip to the wing of P3.",
    source: source.PLAIN_GEOMETRY,
    needs: P3_SOLE,
    errorClass: "distance",
  },
  {
    key: "p3PalmarLength",
    label: "Palmar length of P3",
    unit: "mm",
    definition: "Straight length from the tip of P3 to its articulation with the navicular bone.",
    source: source.RATIO_415,
    needs: ["p3Tip", "navicularArticulation"],
    errorClass: "distance",
  },
  {
    key: "toeLength",
    label: "Toe length",
    unit: "mm",
    definition: "From the top of the dorsal wall to breakover, measured along the wall line.",
    source: source.FOOT_BALANCE_2006,
    needs: [...WALL, "breakover"],
    errorClass: "distance",
  },
  {
    key: "toeHeight",
    label: "Toe height",
    unit: "mm",
    definition: "Vertical from the surface the foot stands on to the top of the dorsal wall.",
    source: source.HEEL_TOE_2004,
    needs: [...GROUND, "coronaryBand"],
    errorClass: "distance",
    aboveFootSurface: true,
  },
  {
    key: "heelHeight",
    label: "Heel height",
    unit: "mm",
    definition: "Vertical from the surface the foot stands on to the coronary band at the heel.",
    source: source.HEEL_TOE_2004,
    needs: [...GROUND, "coronaryBandHeel"],
    errorClass: "distance",
    aboveFootSurface: true,
  },
  {
    key: "heelToeHeightRatio",
    label: "Heel height as a share of toe height",
    unit: "%",
    definition: "100 × heel height ÷ toe height.",
    source: source.HEEL_TOE_2004,
    needs: [...GROUND, "coronaryBand", "coronaryBandHeel"],
    errorClass: "own",
    aboveFootSurface: true,
  },
  {
    key: "bearingLength",
    label: "Bearing length",
    unit: "mm",
    definition: "From heel contact to breakover along the ground.",
    source: source.PLAIN_GEOMETRY,
    needs: [...GROUND, ...BEARING],
    errorClass: "distance",
  },
  {
    key: "breakoverDistance",
    label: "Breakover ahead of the tip of P3",
    unit: "mm",
    definition:
      "Along the ground from under the tip of P3 to breakover; positive when breakover lies ahead of the tip.",
    source: source.FOOT_BALANCE_2006,
    needs: [...GROUND, "p3Tip", "breakover"],
    errorClass: "distance",
  },
  {
    key: "breakoverFromFrogTip",
    label: "Breakover ahead of the frog tip",
    unit: "mm",
    definition:
      "Along the ground from under the frog-tip pin to breakover: the distance the farrier can lay on the foot.",
    source: source.PLAIN_GEOMETRY,
    needs: [...GROUND, "frogTip", "breakover"],
    errorClass: "distance",
  },
  {
    key: "leverArm",
    label: "Joint centre to breakover",
    unit: "mm",
    definition:
      "Along the ground from under the centre of rotation of the coffin joint to breakover.",
    source: source.PALMAR_ANGLE_BOOK,
    needs: [...GROUND, "breakover", ...JOINT],
    errorClass: "distance",
  },
  {
    key: "centreOfRotationHeight",
    label: "Height of the joint centre",
    unit: "mm",
    definition:
      "Vertical from the surface the foot stands on to the centre of rotation of the coffin joint.",
    source: source.PLAIN_GEOMETRY,
    needs: [...GROUND, ...JOINT],
    errorClass: "distance",
    aboveFootSurface: true,
  },
  {
    key: "articularRadius",
    label: "Radius of the P2 joint surface",
    unit: "mm",
    definition: "Radius of the circle fitted to the lower joint outline of P2.",
    source: source.PLAIN_GEOMETRY,
    needs: JOINT,
    errorClass: "distance",
  },
  {
    key: "foreProportion",
    label: "Share of the bearing length in front",
    unit: "%",
    definition:
      "Share of the bearing length ahead of the centre of rotation. Half and half is a convention, not a proven best.",
    source: source.PALMAR_ANGLE_BOOK,
    needs: [...GROUND, ...BEARING, ...JOINT],
    errorClass: "own",
  },
  {
    key: "aftProportion",
    label: "Share of the bearing length behind",
    unit: "%",
    definition: "Share of the bearing length behind the centre of rotation.",
    source: source.PALMAR_ANGLE_BOOK,
    needs: [...GROUND, ...BEARING, ...JOINT],
    errorClass: "own",
  },
] as const satisfies readonly MeasureDefinition<string, LateromedialLandmark>[];

export type LateromedialMeasure = (typeof LATEROMEDIAL_DEFINITIONS)[number]["key"];

/** Measures that use the circle through the joint surface of P2. */
export const CIRCLE_MEASURES: ReadonlySet<string> = new Set<LateromedialMeasure>([
  "leverArm",
  "centreOfRotationHeight",
  "articularRadius",
  "foreProportion",
  "aftProportion",
]);

export interface Landmark<K extends string> extends LandmarkGuide<K> {
  /** Keys of the measures that need this point. */
  readonly requiredFor: readonly string[];
}

const MARKER_ENDS: ReadonlySet<string> = new Set(["markerStart", "markerEnd"]);
const ARTICULAR: ReadonlySet<string> = new Set(ARTICULAR_POINTS);

/** Points of the lateromedial view with a guide and what each is needed for. */
export const LATEROMEDIAL_LANDMARKS: readonly Landmark<LateromedialLandmark>[] =
  LATEROMEDIAL_GUIDE.map((guide) => ({
    ...guide,
    requiredFor: MARKER_ENDS.has(guide.key)
      ? LATEROMEDIAL_DEFINITIONS.filter((m) => m.unit === "mm").map((m) => m.key)
      : LATEROMEDIAL_DEFINITIONS.filter((m) =>
          ARTICULAR.has(guide.key)
            ? CIRCLE_MEASURES.has(m.key)
            : (m.needs as readonly string[]).includes(guide.key),
        ).map((m) => m.key),
  }));
