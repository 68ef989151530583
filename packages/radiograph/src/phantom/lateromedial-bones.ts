import { boneShape, type PhantomShape } from "./geometry.ts";
import type { LateromedialMeasures } from "./lateromedial-measures.ts";
import { add, along, arc, mix, scaled, smoothThrough, unit, type Point } from "./shapes.ts";

/** Proportions of the digit to the solar length of P3: believable, not measured; house rule. */
const jointRadiusShare = 0.24;
const jointGapMm = 1.8;
const pasternLengthShare = 0.72;
const upperJointRadiusShare = 0.22;

/** The bones with every landmark that lies on them, in millimetres. */
export interface LateromedialBones {
  readonly tip: Point;
  readonly wing: Point;
  readonly dorsalProximal: Point;
  readonly extensorProcess: Point;
  readonly navicularArticulation: Point;
  readonly centreOfRotation: Point;
  readonly jointRadiusMm: number;
  readonly articular: readonly Point[];
  readonly axisProximal: Point;
  readonly axisDistal: Point;
  readonly pasternJoint: Point;
  /** Unit vectors of P2: up its axis, and square to it towards the front. */
  readonly axis: Point;
  readonly front: Point;
  readonly shapes: readonly PhantomShape[];
}

const strip = (line: readonly Point[], thicknessMm: number, towards: Point): readonly Point[] => [
  ...line,
  ...line.toReversed().map((point) => along(point, towards, thicknessMm)),
];

const ellipse = (
  centre: Point,
  long: number,
  short: number,
  tiltDegrees: number,
): readonly Point[] => {
  const major = unit(tiltDegrees);
  const minor = { x: -major.y, y: major.x };
  return arc({ x: 0, y: 0 }, 1, 0, 360, 32).map(({ x, y }) =>
    along(along(centre, major, x * long), minor, y * short),
  );
};

/** Builds P3, P2, P1 and the navicular bone around a given tip. */
export const lateromedialBones = (
  tip: Point,
  measures: Required<LateromedialMeasures>,
): LateromedialBones => {
  const length = measures.solarLengthMm;
  const towardsTip = unit(-measures.palmarAngleDegrees);
  const upwards = unit(90 - measures.palmarAngleDegrees);
  /** Bone frame: x along the solar border (negative towards the heels), y square to it. */
  const place = (x: number, y: number): Point =>
    along(along(tip, towardsTip, x * length), upwards, y * length);
  const wing = place(-1, 0);

  const upTheFace = unit(180 - measures.boneFrontAngleDegrees);
  const rotation = ((measures.boneFrontAngleDegrees - measures.wallAngleDegrees) * Math.PI) / 180;
  const faceLength = measures.wallSpanMm / Math.cos(rotation);
  const dorsalProximal = along(tip, upTheFace, faceLength);
  const extensorProcess = along(tip, upTheFace, faceLength * 1.3);

  const jointRadiusMm = jointRadiusShare * length;
  const socketRadius = jointRadiusMm + jointGapMm;
  const tilt = -measures.palmarAngleDegrees;
  const centre = along(extensorProcess, unit(20 + tilt), -(socketRadius + 1.2));
  const socket = arc(centre, socketRadius, 10 + tilt, -105 + tilt, 28);
  const navicularArticulation = socket.at(-1)!;

  const faceNormal = unit(90 - measures.boneFrontAngleDegrees);
  const peak = smoothThrough([
    along(tip, upTheFace, faceLength * 1.06),
    along(along(tip, upTheFace, faceLength * 1.18), faceNormal, 0.6),
    extensorProcess,
    along(extensorProcess, unit(205 + tilt), 2.6),
    socket[0]!,
  ]);
  const process = smoothThrough([
    navicularArticulation,
    place(-1.03, 0.215),
    place(-1.16, 0.185),
    place(-1.23, 0.11),
    place(-1.16, 0.03),
    wing,
  ]);
  const solarBorder = [mix(wing, tip, 0.33), mix(wing, tip, 0.67)];
  const outline = [
    tip,
    dorsalProximal,
    ...peak,
    ...socket.slice(1),
    ...process.slice(1),
    ...solarBorder,
  ];
  // The wings stand apart by about nine tenths of the solar length; the tip lies in the middle.
  const spread = outline.map((point) => {
    const back = (point.x - tip.x) / (wing.x - tip.x);
    const isLow = (point.x - tip.x) * upwards.x + (point.y - tip.y) * upwards.y < 0.22 * length;
    return isLow ? Math.max(0, Math.min(1, back)) * 0.45 * length : 0;
  });

  const pasternAngle = measures.boneFrontAngleDegrees - measures.phalangealRotationDegrees;
  const axis = unit(180 - pasternAngle);
  const front = unit(90 - pasternAngle);
  const upperRadius = upperJointRadiusShare * length;
  const pasternLength = pasternLengthShare * length;
  const pasternJoint = along(centre, axis, pasternLength + upperRadius + 1.6);
  const side = (up: number, out: number): Point =>
    along(along(centre, axis, up * length), front, out * length);
  const condyle = arc(centre, jointRadiusMm, 96 - pasternAngle, -96 - pasternAngle, 40);
  const cup = arc(pasternJoint, upperRadius + 1.6, -pasternAngle - 52, -pasternAngle + 52, 16);
  const pasternOutline = [
    ...condyle,
    ...smoothThrough([
      condyle.at(-1)!,
      side(0.25, -0.2),
      side(0.5, -0.205),
      side(0.74, -0.26),
      cup[0]!,
    ]).slice(1),
    ...cup.slice(1),
    ...smoothThrough([
      cup.at(-1)!,
      side(0.72, 0.25),
      side(0.5, 0.2),
      side(0.25, 0.205),
      condyle[0]!,
    ]).slice(1, -1),
  ];
  const upperAxis = unit(180 - pasternAngle - 3);
  const upperFront = unit(90 - pasternAngle - 3);
  const upper = (up: number, out: number): Point =>
    along(along(pasternJoint, upperAxis, up * length), upperFront, out * length);
  const upperOutline = [
    ...arc(pasternJoint, upperRadius, 94 - pasternAngle, -94 - pasternAngle, 32),
    ...smoothThrough([upper(0.05, -0.22), upper(0.35, -0.185), upper(1, -0.21), upper(5, -0.32)]),
    ...smoothThrough([upper(5, 0.32), upper(1, 0.2), upper(0.35, 0.18), upper(0.05, 0.22)]),
  ];
  const navicularCentre = along(centre, unit(-131 + tilt), socketRadius + 0.085 * length);
  const navicular = ellipse(navicularCentre, 0.115 * length, 0.075 * length, 140 - 180 + tilt);

  const innerFace = strip(
    [along(tip, upTheFace, 1.5), dorsalProximal],
    2.6,
    scaled(faceNormal, -1),
  );
  const semilunar = strip(
    smoothThrough([navicularArticulation, place(-0.72, 0.12), place(-0.5, 0.085)]),
    1.1,
    upwards,
  );
  const vault = smoothThrough([
    place(-0.2, 0.015),
    place(-0.5, 0.07),
    place(-0.85, 0.085),
    place(-1.04, 0.03),
  ]);
  return {
    tip,
    wing,
    dorsalProximal,
    extensorProcess,
    navicularArticulation,
    centreOfRotation: centre,
    jointRadiusMm,
    articular: [52, 22, -8, -38, -68].map((turn) =>
      along(centre, unit(turn - pasternAngle), jointRadiusMm),
    ),
    axisProximal: along(centre, axis, 0.62 * length),
    axisDistal: along(centre, axis, 0.12 * length),
    pasternJoint,
    axis,
    front,
    shapes: [
      boneShape(upperOutline, 0.13, 0.26, 0.16 * length),
      boneShape(pasternOutline, 0.14, 0.27, 0.17 * length),
      boneShape(navicular, 0.09, 0.14, 0.06 * length),
      boneShape(outline, 0.14, 0.2, 0.14 * length, spread),
      boneShape(innerFace, 0.045, 0, 1),
      boneShape(semilunar, 0.06, 0, 1),
      boneShape(vault, -0.05, -0.03, 0.03 * length),
      boneShape(ellipse(place(-0.56, 0.2), 0.028 * length, 0.02 * length, 30), -0.07, 0, 1),
    ],
  };
};

/** A point given along the axis of P2 from the joint centre, and square to it towards the front. */
export const pasternPoint = (bones: LateromedialBones, upMm: number, outMm: number): Point =>
  add(along(bones.centreOfRotation, bones.axis, upMm), scaled(bones.front, outMm));
