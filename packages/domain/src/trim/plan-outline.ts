import { radians } from "./heel.ts";
import type { PlanePoint, Polygon } from "./polygon.ts";
import { clipAtX } from "./polygon.ts";
import { findShoe } from "./shoe-catalogue.ts";
import { FROG_SHARE, solarOutline, solarShape, wedgeFrom } from "./solar-outline.ts";
import { trimFrame } from "./trim-frame.ts";
import { divideToe, loadFor } from "./trim-outcome.ts";
import type { FootPlan, TrimInput } from "./trim-types.ts";

export type OutlineId =
  | "ground"
  | "wall-now"
  | "wall-after"
  | "bone"
  | "trim-line"
  | "bevel"
  | "breakover"
  | "shoe"
  | "frog-plate"
  | "fill"
  | "foot-now"
  | "foot-after"
  | "frog"
  | "bearing";

/** One line or area. Points in mm: x forward from the tip of P3; y up (side view) or sideways (from below). */
export interface OutlineShape {
  readonly id: OutlineId;
  readonly kind: "line" | "area";
  readonly label: string;
  readonly points: readonly PlanePoint[];
  /** Cut out of the area. */
  readonly hole?: readonly PlanePoint[];
}

export interface PlanOutline {
  readonly lateral: readonly OutlineShape[];
  readonly solar: readonly OutlineShape[];
}

export type PlannedFigures = Pick<
  FootPlan,
  "heelRemoveMm" | "toeBackMm" | "shoe" | "supportFill" | "wedgeDegrees"
>;

/** Drawn length of the wall when nobody measured it. House outline. */
const DEFAULT_TOE_MM = 85;

const closed = (polygon: Polygon): Polygon => [...polygon, ...polygon.slice(0, 1)];

/**
 * The plan as lines and areas in the frame of the foot on its film, so that screen and paper draw the
 * same thing. The bone stays where the film shows it; the trim line is the ground to come.
 * @throws RangeError on measures that cannot belong to a foot.
 */
export const planOutline = (input: TrimInput, plan: PlannedFigures): PlanOutline => {
  const frame = trimFrame(input);
  const { measures } = input;
  const wall = radians(frame.wallAngleDegrees);
  const bevel = radians(frame.limits.bevelDegrees);
  const toe = measures.breakoverDistanceMm.value;
  const breakoverX = toe - plan.toeBackMm;
  const heelX = -frame.baseLengthMm;
  const toeLengthMm = measures.toeLengthMm?.value ?? DEFAULT_TOE_MM;
  const shoe = findShoe(plan.shoe, input.own);
  const { dressMm, bevelMm } = divideToe(frame, plan);
  const bevelRiseMm = bevelMm / frame.bevelPerHeight;
  const hornX = toe - dressMm - bevelMm;
  const wallLine = (groundX: number): readonly PlanePoint[] => [
    { x: groundX, y: 0 },
    { x: groundX - toeLengthMm * Math.cos(wall), y: toeLengthMm * Math.sin(wall) },
  ];
  const palmar = radians(frame.palmarAngleDegrees);
  const boneAngle = radians(
    measures.dorsalP3AngleDegrees.value - (measures.wedgeInPlaceDegrees ?? 0),
  );
  const boneMm = measures.p3SolarLengthMm.value;
  const tip = { x: 0, y: measures.soleDepthTipMm.value };
  const wing = { x: -boneMm * Math.cos(palmar), y: tip.y + boneMm * Math.sin(palmar) };
  const top = { x: -boneMm * Math.cos(boneAngle), y: tip.y + boneMm * Math.sin(boneAngle) };
  const slope = plan.heelRemoveMm / frame.baseLengthMm;
  const onTrim = (x: number): PlanePoint => ({ x, y: x < 0 ? -x * slope : 0 });
  const down = (point: PlanePoint, mm: number): PlanePoint => ({ x: point.x, y: point.y - mm });
  const thickMm = shoe?.thicknessMm ?? 0;
  const wedgeMm = frame.baseLengthMm * Math.tan(radians(plan.wedgeDegrees));
  const shoeHeelX = heelX - thickMm;
  const frogTipX = -(measures.frogTipToP3TipMm?.value ?? 10);
  const plateTipX = Math.min(0, frogTipX - frame.values.frogPlateBehindFrogTipMm);
  const { bearing } = loadFor(
    { ...input, shoe: plan.shoe, supportFill: plan.supportFill },
    frame,
    divideToe(frame, plan),
  );
  const fillFront = Math.min(breakoverX, -frame.values.fillBehindTipMm);
  const lateral: OutlineShape[] = [
    {
      id: "ground",
      kind: "line",
      label: "Ground now",
      points: [
        { x: heelX - 15, y: 0 },
        { x: toe + 15, y: 0 },
      ],
    },
    { id: "wall-now", kind: "line", label: "Front wall now", points: wallLine(toe) },
    { id: "wall-after", kind: "line", label: "Front wall after", points: wallLine(toe - dressMm) },
    { id: "bone", kind: "line", label: "P3", points: [top, tip, wing] },
    {
      id: "trim-line",
      kind: "line",
      label: `Heel ${plan.heelRemoveMm.toFixed(1)} mm off`,
      points: [onTrim(heelX), onTrim(0), { x: hornX, y: 0 }],
    },
    {
      id: "bevel",
      kind: "line",
      label: "Bevel",
      points: [
        { x: hornX, y: 0 },
        { x: hornX + bevelRiseMm / Math.tan(bevel), y: bevelRiseMm },
      ],
    },
    {
      id: "breakover",
      kind: "line",
      label: `Breakover ${breakoverX.toFixed(1)} mm from the tip of P3`,
      points: [
        { x: breakoverX, y: -thickMm - 8 },
        { x: breakoverX, y: tip.y },
      ],
    },
  ];
  if (thickMm > 0)
    lateral.push({
      id: "shoe",
      kind: "area",
      label: shoe?.name ?? plan.shoe,
      points: [
        onTrim(shoeHeelX),
        onTrim(0),
        { x: hornX, y: 0 },
        { x: breakoverX, y: -thickMm },
        down(onTrim(shoeHeelX), thickMm + wedgeMm),
      ],
    });
  if (shoe?.footprint.frogPlate === true && input.animal !== "donkey")
    lateral.push({
      id: "frog-plate",
      kind: "line",
      label: "Frog plate",
      points: [onTrim(plateTipX), onTrim(heelX)],
    });
  const filled = bearing.pieces.filter((piece) => piece.part === "fill" || piece.part === "base");
  if (filled.length > 0)
    lateral.push({
      id: "fill",
      kind: "line",
      label: "Support",
      points: [onTrim(fillFront), onTrim(heelX)],
    });
  const shapeNow = solarShape(toe, heelX, measures.footWidthMm?.value);
  const footNow = solarOutline(shapeNow);
  const halfWidth = shapeNow.halfWidth;
  return {
    lateral,
    solar: [
      { id: "foot-now", kind: "line", label: "Foot now", points: closed(footNow) },
      {
        id: "foot-after",
        kind: "line",
        label: "Foot that bears after",
        points: closed(clipAtX(footNow, breakoverX, "behind")),
      },
      {
        id: "frog",
        kind: "line",
        label: "Frog",
        points: closed(wedgeFrom(frogTipX, heelX, FROG_SHARE * halfWidth)),
      },
      {
        id: "breakover",
        kind: "line",
        label: "Breakover",
        points: [
          { x: breakoverX, y: -halfWidth },
          { x: breakoverX, y: halfWidth },
        ],
      },
      ...bearing.pieces.map((piece): OutlineShape => ({
        id: piece.part === "frog plate" ? "frog-plate" : piece.part === "fill" ? "fill" : "bearing",
        kind: "area",
        label: piece.part,
        points: piece.outline,
        ...(piece.hole === undefined ? {} : { hole: piece.hole }),
      })),
    ],
  };
};
