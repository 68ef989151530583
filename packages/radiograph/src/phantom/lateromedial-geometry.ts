import type { LateromedialKey } from "../landmarks/landmarks.ts";
import { box, metalShape, softShape, type PhantomGeometry, type PhantomShape } from "./geometry.ts";
import { lateromedialBones, pasternPoint, type LateromedialBones } from "./lateromedial-bones.ts";
import {
  reconciled,
  type LateromedialExtras,
  type LateromedialMeasures,
  type LateromedialTruth,
} from "./lateromedial-measures.ts";
import { along, crossing, mix, smoothThrough, unit, type Point } from "./shapes.ts";

/** A side view ready to be rendered. */
export type LateromedialGeometry = PhantomGeometry<LateromedialKey, LateromedialTruth>;

interface Capsule {
  readonly coronaryBand: Point;
  readonly wallDistal: Point;
  readonly breakover: Point;
  readonly heel: Point;
  readonly coronaryBandHeel: Point;
  readonly frogTip: Point;
  readonly downTheWall: Point;
  readonly wallNormal: Point;
  /** Outer face from the coronary band to the ground contact at the toe. */
  readonly face: readonly Point[];
  readonly sole: readonly Point[];
}

const distanceToLine = (point: Point, from: Point, direction: Point): number =>
  Math.abs((point.x - from.x) * direction.y - (point.y - from.y) * direction.x);

/** The rolled toe: the steepest bevel that keeps half the sole under the tip. */
const bevelDirection = (breakover: Point, bones: LateromedialBones, soleTipMm: number): Point => {
  for (let angle = 40; angle > 10; angle -= 2) {
    const direction = unit(angle);
    if (distanceToLine(bones.tip, breakover, direction) >= 0.55 * soleTipMm) return direction;
  }
  return unit(10);
};

const capsuleOf = (bones: LateromedialBones, measures: Required<LateromedialMeasures>): Capsule => {
  const { tip, extensorProcess } = bones;
  const { solarLengthMm: length, soleTipMm, wedgeDegrees } = measures;
  const downTheWall = unit(-measures.wallAngleDegrees);
  const wallNormal = unit(90 - measures.wallAngleDegrees);
  const wallPoint = along(tip, wallNormal, measures.wallToBoneBottomMm);
  const bandHeight = extensorProcess.y + measures.founderDistanceMm;
  const coronaryBand = crossing(wallPoint, downTheWall, { x: 0, y: bandHeight }, { x: 1, y: 0 });

  const breakover = { x: tip.x + measures.breakoverDistanceMm, y: 0 };
  const plane = unit(180 - wedgeDegrees);
  const wallFoot = crossing(wallPoint, downTheWall, breakover, plane);
  const isRolled = breakover.x < wallFoot.x - 2;
  const turn = isRolled
    ? crossing(wallPoint, downTheWall, breakover, bevelDirection(breakover, bones, soleTipMm))
    : mix(coronaryBand, wallFoot, 0.62);
  const wallDistal = along(turn, downTheWall, -3);
  const flare = [mix(turn, breakover, 0.35), mix(turn, breakover, 0.7)].map((point, index) =>
    along(point, downTheWall, index === 0 ? 1.2 : 0.8),
  );
  const face = isRolled
    ? [coronaryBand, turn, breakover]
    : [coronaryBand, ...smoothThrough([turn, ...flare, breakover], 6)];

  const heelOnFoot = along(breakover, plane, measures.breakoverDistanceMm + 1.55 * length);
  const heelRise = (0.4 * bandHeight) / Math.sin((measures.wallAngleDegrees * Math.PI) / 180);
  const cup = Math.min(3, 0.2 * soleTipMm);
  const square = {
    x: Math.sin((wedgeDegrees * Math.PI) / 180),
    y: Math.cos((wedgeDegrees * Math.PI) / 180),
  };
  const onPlane = (share: number, height: number): Point =>
    along(along(breakover, plane, measures.breakoverDistanceMm + share * length), square, height);
  const sole = [
    breakover,
    ...smoothThrough([
      along(breakover, plane, 4),
      onPlane(0.22, cup),
      onPlane(0.62, cup),
      onPlane(1.05, cup * 0.6),
      onPlane(1.3, 0),
    ]),
    heelOnFoot,
  ];
  return {
    coronaryBand,
    wallDistal,
    breakover,
    heel: { x: heelOnFoot.x, y: 0 },
    coronaryBandHeel: along(heelOnFoot, downTheWall, -heelRise),
    frogTip: onPlane(0.42, cup),
    downTheWall,
    wallNormal,
    face,
    sole,
  };
};

const softShapes = (
  bones: LateromedialBones,
  capsule: Capsule,
  measures: Required<LateromedialMeasures>,
): readonly PhantomShape[] => {
  const length = measures.solarLengthMm;
  const { coronaryBand, coronaryBandHeel, downTheWall, wallNormal } = capsule;
  const up = (mm: number, out: number): Point => pasternPoint(bones, mm * length, out * length);
  const skinFront = smoothThrough([
    coronaryBand,
    along(along(coronaryBand, downTheWall, -0.1 * length), wallNormal, 0.02 * length),
    up(1, 0.44),
    up(1.7, 0.42),
    up(2.6, 0.44),
    up(5, 0.6),
  ]);
  const skinBack = smoothThrough([
    up(5, -0.75),
    up(2.6, -0.65),
    up(1.6, -0.63),
    up(0.75, -0.72),
    along(coronaryBandHeel, unit(120), 0.16 * length),
    coronaryBandHeel,
  ]);
  const coronet = smoothThrough([
    coronaryBandHeel,
    along(mix(coronaryBandHeel, coronaryBand, 0.5), unit(100), 0.05 * length),
    coronaryBand,
  ]);
  const capsuleOutline = [...capsule.face, ...capsule.sole.slice(1), ...coronet.slice(0, -1)];
  const turn = capsule.face[1]!;
  const wallThickness = 0.55 * measures.wallToBoneTopMm;
  const outerWall = [
    coronaryBand,
    turn,
    along(turn, wallNormal, -wallThickness),
    along(along(coronaryBand, downTheWall, 5), wallNormal, -wallThickness),
  ];
  return [
    softShape([...skinFront, ...skinBack, ...coronet.slice(1, -1)], 0.05, 0.13, 0.5 * length),
    softShape(capsuleOutline, 0.1, 0.14, 0.45 * length),
    softShape(outerWall, 0.045),
  ];
};

const equipment = (
  bones: LateromedialBones,
  capsule: Capsule,
  measures: Required<LateromedialMeasures>,
  extras: LateromedialExtras,
  marker: { readonly start: Point; readonly end: Point },
): readonly PhantomShape[] => {
  const { coronaryBand, downTheWall, wallNormal, breakover, heel, sole, frogTip } = capsule;
  const shoe = extras.shoeHeightMm ?? 0;
  const wallMarker = extras.wallMarkerLengthMm ?? 40;
  const lucent = extras.lucentLineLengthMm ?? 0;
  const pasteEnd = along(coronaryBand, downTheWall, wallMarker);
  const depthOfLine = 0.62 * measures.wallToBoneTopMm;
  const lineStart = along(
    along(coronaryBand, downTheWall, 0.3 * measures.wallSpanMm),
    wallNormal,
    -depthOfLine,
  );
  const lineEnd = along(lineStart, downTheWall, lucent);
  const left = heel.x - 30;
  const right = breakover.x + 48;
  return [
    // A wooden block with a wire let into its top: the ground line of the film.
    softShape(box(left, -24 - shoe, right, -shoe), 0.07),
    metalShape(box(left, -1.1 - shoe, right, -shoe), 0.4),
    ...(shoe > 0 ? [metalShape(box(heel.x, -shoe, breakover.x, 0), 0.8)] : []),
    ...(measures.wedgeDegrees > 0
      ? [softShape([breakover, sole.at(-1)!, { x: heel.x, y: 0 }], 0.09)]
      : []),
    ...(lucent > 0
      ? [
          softShape(
            [
              lineStart,
              lineEnd,
              along(lineEnd, wallNormal, -1.9),
              along(lineStart, wallNormal, -0.7),
            ],
            -0.15,
          ),
        ]
      : []),
    ...(wallMarker > 0
      ? [
          metalShape(
            [
              coronaryBand,
              pasteEnd,
              along(pasteEnd, wallNormal, -1),
              along(coronaryBand, wallNormal, -1),
            ],
            0.42,
          ),
        ]
      : []),
    metalShape(box(frogTip.x - 3, frogTip.y - 1, frogTip.x + 3, frogTip.y), 0.5),
    metalShape(box(frogTip.x - 0.45, frogTip.y, frogTip.x + 0.45, frogTip.y + 4), 0.4),
    metalShape(box(marker.start.x, marker.start.y - 1.6, marker.end.x, marker.start.y + 1.6), 0.75),
  ];
};

/**
 * Builds a side view that has the given measures. The tip of P3 stands at x = 0, the ground is
 * y = 0 (with a shoe: the top of the shoe), lengths are millimetres in the plane of the foot.
 */
export const lateromedialGeometry = (
  input: LateromedialMeasures,
  extras: LateromedialExtras = {},
): LateromedialGeometry => {
  const measures = reconciled(input);
  const wedge = (measures.wedgeDegrees * Math.PI) / 180;
  const tipHeight =
    (measures.soleTipMm + measures.breakoverDistanceMm * Math.sin(wedge)) / Math.cos(wedge);
  const bones = lateromedialBones({ x: 0, y: tipHeight }, measures);
  const capsule = capsuleOf(bones, measures);
  const shoe = extras.shoeHeightMm ?? 0;
  const markerLengthMm = extras.markerLengthMm ?? 100;
  const middle = (capsule.breakover.x + capsule.heel.x) / 2;
  const markerStart = { x: middle - markerLengthMm / 2, y: -13 - shoe };
  const markerEnd = { x: middle + markerLengthMm / 2, y: -13 - shoe };
  const below = (point: Point): Point => ({ x: point.x, y: point.y - shoe });
  const [first, second, third, fourth, fifth] = bones.articular as readonly [
    Point,
    Point,
    Point,
    Point,
    Point,
  ];
  const nav = bones.navicularArticulation;
  return {
    landmarksMm: {
      markerStart,
      markerEnd,
      groundToe: { x: capsule.breakover.x + 12, y: 0 },
      groundHeel: { x: capsule.heel.x - 14, y: 0 },
      coronaryBand: capsule.coronaryBand,
      wallDistal: capsule.wallDistal,
      extensorProcess: bones.extensorProcess,
      p3DorsalProximal: bones.dorsalProximal,
      p3Tip: bones.tip,
      p3Wing: bones.wing,
      breakover: below(capsule.breakover),
      heel: below(capsule.heel),
      p2Articular1: first,
      p2Articular2: second,
      p2Articular3: third,
      p2Articular4: fourth,
      p2Articular5: fifth,
      p2AxisProximal: bones.axisProximal,
      p2AxisDistal: bones.axisDistal,
      navicularArticulation: nav,
      frogTip: capsule.frogTip,
      coronaryBandHeel: capsule.coronaryBandHeel,
    },
    shapes: [
      ...softShapes(bones, capsule, measures),
      ...bones.shapes,
      ...equipment(bones, capsule, measures, extras, { start: markerStart, end: markerEnd }),
    ],
    centreMm: { x: middle - 4, y: 48 },
    truth: {
      ...measures,
      capsularRotationDegrees: measures.boneFrontAngleDegrees - measures.wallAngleDegrees,
      markerLengthMm,
      toeHeightMm: capsule.coronaryBand.y,
      heelHeightMm: capsule.coronaryBandHeel.y,
      bearingLengthMm: capsule.breakover.x - capsule.heel.x,
      centreOfRotationMm: bones.centreOfRotation,
      jointRadiusMm: bones.jointRadiusMm,
      palmarLengthMm: Math.hypot(nav.x, nav.y - tipHeight),
    },
  };
};
