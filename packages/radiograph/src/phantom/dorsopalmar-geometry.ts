import type { DorsopalmarKey } from "../landmarks/landmarks.ts";
import {
  boneShape,
  box,
  metalShape,
  softShape,
  type PhantomGeometry,
  type PhantomShape,
} from "./geometry.ts";
import { along, arc, mix, smoothThrough, unit, type Point } from "./shapes.ts";

/** What a front view is to measure. The medial side lies at negative x. */
export interface DorsopalmarMeasures {
  /** Tilt of the pedal bone (P3); positive when the medial side is lower. */
  readonly tiltDegrees: number;
  readonly foraminaApartMm: number;
  /** Joint space between P2 and P3, square to the bone, at equal distances from the middle. */
  readonly jointSpaceMedialMm: number;
  readonly jointSpaceLateralMm: number;
  /** Height of the middle of the lower edge of P3 above the ground. */
  readonly soleMiddleMm: number;
  /** From each edge of P3 out to the wall, level. */
  readonly wallMedialMm: number;
  readonly wallLateralMm: number;
  /** Tilt of the coronary band; positive when the medial side is lower. */
  readonly coronetTiltDegrees?: number;
  /** Length of the scale bar; absent means 100. */
  readonly markerLengthMm?: number;
}

/** The measures that the phantom truly has. */
export interface DorsopalmarTruth extends Required<DorsopalmarMeasures> {
  readonly soleMedialMm: number;
  readonly soleLateralMm: number;
  /** Lateral less medial height of the two foramina. */
  readonly foraminaHeightDifferenceMm: number;
}

/** A front view ready to be rendered. */
export type DorsopalmarGeometry = PhantomGeometry<DorsopalmarKey, DorsopalmarTruth>;

/** Proportions to the distance between the foramina: believable, not measured; house rule. */
const marginShare = 0.86;
const jointShare = 0.36;
const boneHeightShare = 0.78;

interface FrontBones {
  readonly marginMedial: Point;
  readonly marginLateral: Point;
  readonly foramenMedial: Point;
  readonly foramenLateral: Point;
  readonly jointMedial: readonly [upper: Point, lower: Point];
  readonly jointLateral: readonly [upper: Point, lower: Point];
  readonly shapes: readonly PhantomShape[];
  readonly jointMiddle: Point;
}

const disc = (centre: Point, radius: number): readonly Point[] => arc(centre, radius, 0, 360, 28);

const frontBones = (measures: Required<DorsopalmarMeasures>): FrontBones => {
  const apart = measures.foraminaApartMm;
  const right = unit(measures.tiltDegrees);
  const up = unit(90 + measures.tiltDegrees);
  const base = { x: 0, y: measures.soleMiddleMm };
  /** Bone frame in shares of the foramen distance: x to the lateral side, y square to it. */
  const place = (x: number, y: number): Point =>
    along(along(base, right, x * apart), up, y * apart);
  const marginMedial = place(-marginShare, 0);
  const marginLateral = place(marginShare, 0);
  const jointY = boneHeightShare;
  const face = (x: number): number => jointY - 0.1 * (1 - (x / 0.5) ** 2) + 0.05;
  const lowerMedial = place(-jointShare, face(-jointShare));
  const lowerLateral = place(jointShare, face(jointShare));
  const upperMedial = along(lowerMedial, up, measures.jointSpaceMedialMm);
  const upperLateral = along(lowerLateral, up, measures.jointSpaceLateralMm);

  const lowerFace = [-0.5, -jointShare, -0.18, 0, 0.18, jointShare, 0.5].map((x) =>
    place(x, face(x)),
  );
  const crown = smoothThrough([
    place(0.5, face(0.5)),
    place(0.56, jointY - 0.08),
    place(0.66, 0.45),
    place(0.82, 0.14),
    marginLateral,
  ]);
  const solarArch = smoothThrough([
    marginLateral,
    place(0.7, -0.012),
    place(0.35, 0.06),
    place(0, 0.085),
    place(-0.35, 0.06),
    place(-0.7, -0.012),
    marginMedial,
  ]);
  const crownMedial = smoothThrough([
    marginMedial,
    place(-0.82, 0.14),
    place(-0.66, 0.45),
    place(-0.56, jointY - 0.08),
    place(-0.5, face(-0.5)),
  ]);
  const pedal = [
    ...smoothThrough(lowerFace).slice(0, -1),
    ...crown.slice(0, -1),
    ...solarArch.slice(0, -1),
    ...crownMedial.slice(0, -1),
  ];

  // P2 stands on the joint with its own slope: the gap may be wider on one side.
  const gapAt = (x: number): number =>
    (measures.jointSpaceMedialMm + measures.jointSpaceLateralMm) / 2 +
    ((measures.jointSpaceLateralMm - measures.jointSpaceMedialMm) * x) / (2 * jointShare);
  const upperFace = [-0.47, -jointShare, -0.18, 0, 0.18, jointShare, 0.47].map((x) =>
    along(place(x, face(x)), up, gapAt(x)),
  );
  const jointMiddle = upperFace[3]!;
  const above = (x: number, y: number): Point => ({
    x: jointMiddle.x + x * apart,
    y: jointMiddle.y + y * apart,
  });
  const pastern = [
    ...smoothThrough(upperFace).slice(0, -1),
    ...smoothThrough([
      upperFace.at(-1)!,
      above(0.5, 0.12),
      above(0.42, 0.32),
      above(0.46, 0.6),
      above(0.5, 0.72),
    ]),
    ...smoothThrough([
      above(0.42, 0.8),
      above(0.2, 0.76),
      above(0, 0.8),
      above(-0.2, 0.76),
      above(-0.42, 0.8),
    ]),
    ...smoothThrough([
      above(-0.5, 0.72),
      above(-0.46, 0.6),
      above(-0.42, 0.32),
      above(-0.5, 0.12),
      upperFace[0]!,
    ]).slice(0, -1),
  ];
  const upperBone = [
    ...smoothThrough([
      above(-0.42, 0.85),
      above(-0.2, 0.81),
      above(0, 0.85),
      above(0.2, 0.81),
      above(0.42, 0.85),
    ]),
    ...smoothThrough([above(0.47, 0.95), above(0.37, 1.25), above(0.36, 3)]),
    ...smoothThrough([above(-0.36, 3), above(-0.37, 1.25), above(-0.47, 0.95)]),
  ];
  const navicular = smoothThrough([
    place(-0.46, 0.6),
    place(0, 0.66),
    place(0.46, 0.6),
    place(0.4, 0.48),
    place(0, 0.45),
    place(-0.4, 0.48),
    place(-0.46, 0.6),
  ]);
  const foramenMedial = place(-0.5, 0.33);
  const foramenLateral = place(0.5, 0.33);
  return {
    marginMedial,
    marginLateral,
    foramenMedial,
    foramenLateral,
    jointMedial: [upperMedial, lowerMedial],
    jointLateral: [upperLateral, lowerLateral],
    jointMiddle,
    shapes: [
      boneShape(upperBone, 0.13, 0.26, 0.3 * apart),
      boneShape(pastern, 0.14, 0.24, 0.3 * apart),
      boneShape(pedal, 0.14, 0.2, 0.25 * apart),
      boneShape(navicular, 0.06, 0.03, 0.06 * apart),
      boneShape(disc(foramenMedial, 0.05 * apart), -0.13, 0, 1),
      boneShape(disc(foramenLateral, 0.05 * apart), -0.13, 0, 1),
      ...[-0.3, -0.15, 0, 0.15, 0.3].map((x) =>
        boneShape(disc(place(x, 0.2 + 0.05 * (1 - 8 * x * x)), 0.018 * apart), -0.05, 0, 1),
      ),
    ],
  };
};

const frontCapsule = (
  bones: FrontBones,
  measures: Required<DorsopalmarMeasures>,
): {
  readonly wallMedial: Point;
  readonly wallLateral: Point;
  readonly coronetMedial: Point;
  readonly coronetLateral: Point;
  readonly shapes: readonly PhantomShape[];
} => {
  const apart = measures.foraminaApartMm;
  const wallMedial = { x: bones.marginMedial.x - measures.wallMedialMm, y: bones.marginMedial.y };
  const wallLateral = {
    x: bones.marginLateral.x + measures.wallLateralMm,
    y: bones.marginLateral.y,
  };
  // Walls lean outwards going down; the inner one stands a little steeper.
  const downMedial = unit(180 + 78);
  const downLateral = unit(-75);
  const onGround = (point: Point, down: Point): Point => along(point, down, -point.y / down.y);
  const bandTilt = unit(measures.coronetTiltDegrees);
  const middleOfBand = { x: 0, y: bones.jointMiddle.y + 0.12 * apart };
  const meets = (wall: Point, down: Point): Point => {
    const cross = down.x * bandTilt.y - down.y * bandTilt.x;
    const t =
      ((middleOfBand.x - wall.x) * bandTilt.y - (middleOfBand.y - wall.y) * bandTilt.x) / cross;
    return along(wall, down, t);
  };
  const coronetMedial = meets(wallMedial, downMedial);
  const coronetLateral = meets(wallLateral, downLateral);
  const footMedial = onGround(wallMedial, downMedial);
  const footLateral = onGround(wallLateral, downLateral);
  const horn = [
    coronetMedial,
    footMedial,
    footLateral,
    coronetLateral,
    ...smoothThrough([
      coronetLateral,
      along(mix(coronetLateral, coronetMedial, 0.5), unit(90), 0.14 * apart),
      coronetMedial,
    ]).slice(1, -1),
  ];
  const skin = [
    ...smoothThrough([
      coronetLateral,
      along(coronetLateral, unit(110), 0.35 * apart),
      { x: 0.75 * apart, y: coronetLateral.y + 1.1 * apart },
      { x: 0.72 * apart, y: coronetLateral.y + 3 * apart },
    ]),
    ...smoothThrough([
      { x: -0.72 * apart, y: coronetMedial.y + 3 * apart },
      { x: -0.75 * apart, y: coronetMedial.y + 1.1 * apart },
      along(coronetMedial, unit(70), 0.35 * apart),
      coronetMedial,
    ]),
  ];
  const wallBand = (top: Point, foot: Point, inward: number): PhantomShape =>
    softShape(
      [top, foot, { x: foot.x + inward, y: foot.y }, { x: top.x + inward, y: top.y }],
      0.05,
    );
  return {
    wallMedial,
    wallLateral,
    coronetMedial,
    coronetLateral,
    shapes: [
      softShape(skin, 0.05, 0.12, 0.6 * apart),
      softShape(horn, 0.1, 0.14, 0.6 * apart),
      wallBand(coronetMedial, footMedial, 0.16 * apart),
      wallBand(coronetLateral, footLateral, -0.16 * apart),
    ],
  };
};

/**
 * Builds a front view that has the given measures. The middle of the lower edge of P3 stands at
 * x = 0, the ground is y = 0, the medial side is at negative x, lengths are millimetres.
 */
export const dorsopalmarGeometry = (input: DorsopalmarMeasures): DorsopalmarGeometry => {
  const measures: Required<DorsopalmarMeasures> = {
    ...input,
    coronetTiltDegrees: input.coronetTiltDegrees ?? input.tiltDegrees / 2,
    markerLengthMm: input.markerLengthMm ?? 100,
  };
  const bones = frontBones(measures);
  const capsule = frontCapsule(bones, measures);
  const half = measures.markerLengthMm / 2;
  const apart = measures.foraminaApartMm;
  const lift = Math.sin((measures.tiltDegrees * Math.PI) / 180);
  const edge = Math.max(-capsule.wallMedial.x, capsule.wallLateral.x) + 14;
  return {
    landmarksMm: {
      markerStart: { x: -half, y: -13 },
      markerEnd: { x: half, y: -13 },
      groundMedial: { x: -edge, y: 0 },
      groundLateral: { x: edge, y: 0 },
      p3MarginMedial: bones.marginMedial,
      p3MarginLateral: bones.marginLateral,
      foramenMedial: bones.foramenMedial,
      foramenLateral: bones.foramenLateral,
      jointMedialUpper: bones.jointMedial[0],
      jointMedialLower: bones.jointMedial[1],
      jointLateralUpper: bones.jointLateral[0],
      jointLateralLower: bones.jointLateral[1],
      wallMedial: capsule.wallMedial,
      wallLateral: capsule.wallLateral,
      coronetMedial: capsule.coronetMedial,
      coronetLateral: capsule.coronetLateral,
    },
    shapes: [
      ...capsule.shapes,
      ...bones.shapes,
      softShape(box(-edge - 8, -24, edge + 8, 0), 0.07),
      metalShape(box(-edge - 8, -1.1, edge + 8, 0), 0.4),
      metalShape(box(-half, -14.6, half, -11.4)),
    ],
    centreMm: { x: 0, y: 46 },
    truth: {
      ...measures,
      soleMedialMm: measures.soleMiddleMm - marginShare * apart * lift,
      soleLateralMm: measures.soleMiddleMm + marginShare * apart * lift,
      foraminaHeightDifferenceMm: apart * lift,
    },
  };
};
