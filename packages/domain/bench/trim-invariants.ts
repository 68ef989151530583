import type { TrimFigures, TrimInput, TrimProposal } from "../src/trim/index.ts";
import { proposeTrim, trimFigures } from "../src/trim/index.ts";

const SMALL = 1e-9;
const STEP = 1e-5;
/** Largest change of an output per unit of input that still counts as continuous. */
const STEEPEST = 200;
const Z95 = 1.96;
/** The planner's formula and the turned foot agree to this on any foot, degrees; see the heel tests for usual feet. */
const ANGLES_AGREE = 1.5;

interface XY {
  readonly x: number;
  readonly y: number;
}
const turn = (p: XY, angle: number): XY => ({
  x: p.x * Math.cos(angle) - p.y * Math.sin(angle),
  y: p.x * Math.sin(angle) + p.y * Math.cos(angle),
});
const distanceToLine = (p: XY, on: XY, along: XY): number =>
  Math.abs(along.x * (p.y - on.y) - along.y * (p.x - on.x)) / Math.hypot(along.x, along.y);
const rad = (degrees: number): number => (degrees * Math.PI) / 180;

/** Numbers that must move smoothly when a measure does. */
const smoothOutputs = (proposal: TrimFigures): readonly number[] => [
  proposal.trim.heelRemoveMm,
  proposal.trim.toeBackMm,
  proposal.trim.wallDressingMm,
  proposal.trim.toeAlongWallMm,
  proposal.after.palmarAngleDegrees,
  proposal.after.breakoverFromP3TipMm,
  proposal.after.soleWingMm.valueMm,
  proposal.after.tipToBevelMm,
];

const withMeasure = (
  input: TrimInput,
  key:
    | "palmarAngleDegrees"
    | "soleDepthWingMm"
    | "soleDepthTipMm"
    | "breakoverDistanceMm"
    | "hornLamellarDistalMm"
    | "dorsalWallAngleDegrees"
    | "bearingLengthMm",
  change: number,
): TrimInput => ({
  ...input,
  measures: {
    ...input.measures,
    [key]: { ...input.measures[key], value: input.measures[key].value + change },
  },
});

/** Independent geometry: the foot redrawn as points, turned as a rigid body and measured again. */
const geometryFaults = (input: TrimInput, proposal: TrimProposal): readonly string[] => {
  const { measures } = input;
  const wedge = measures.wedgeInPlaceDegrees ?? 0;
  const palmar = rad(measures.palmarAngleDegrees.value - wedge);
  const base = measures.bearingLengthMm.value - measures.breakoverDistanceMm.value;
  const heel = proposal.trim.heelRemoveMm;
  const tip = { x: 0, y: measures.soleDepthTipMm.value };
  const wing = {
    x: -measures.p3SolarLengthMm.value * Math.cos(palmar),
    y: tip.y + measures.p3SolarLengthMm.value * Math.sin(palmar),
  };
  // The new ground runs from the pivot under the tip to the cut heel; laying it level turns the foot.
  const cutHeel = { x: -base, y: heel };
  const level = -Math.atan2(cutHeel.y, -cutHeel.x);
  const turned = { tip: turn(tip, -level), wing: turn(wing, -level), heel: turn(cutHeel, -level) };
  const again =
    (Math.atan2(turned.wing.y - turned.tip.y, turned.tip.x - turned.wing.x) * 180) / Math.PI;
  const bevel = rad(35);
  const hornX =
    measures.breakoverDistanceMm.value - proposal.trim.toeBackMm + proposal.trim.shoeSetBackMm;
  const clear = distanceToLine(tip, { x: hornX, y: 0 }, { x: Math.cos(bevel), y: Math.sin(bevel) });
  const wall = rad(measures.dorsalWallAngleDegrees.value - wedge);
  const dressBack =
    proposal.trim.toeBackMm - proposal.trim.bevelBackMm - proposal.trim.shoeSetBackMm;
  const dressed = distanceToLine(
    { x: -dressBack, y: 0 },
    { x: 0, y: 0 },
    { x: -Math.cos(wall), y: Math.sin(wall) },
  );
  const wingOverTrim = measures.soleDepthWingMm.value - (heel * Math.min(base, -wing.x)) / base;
  return [
    ...(Math.abs(turned.heel.y) > 1e-9 ? ["turned heel is not on the ground"] : []),
    ...(Math.abs(again - proposal.after.palmarAngleByRotationDegrees) > 1e-9
      ? [`angle by points ${again}, by formula ${proposal.after.palmarAngleByRotationDegrees}`]
      : []),
    ...(Math.abs(again - proposal.after.palmarAngleDegrees) > ANGLES_AGREE
      ? ["the planner's angle is far from the turned foot's"]
      : []),
    ...(hornX >= 0 && Math.abs(clear - proposal.after.tipToBevelMm) > 1e-9
      ? [`tip to bevel ${clear}, said ${proposal.after.tipToBevelMm}`]
      : []),
    ...(Math.abs(dressed - proposal.trim.wallDressingMm) > 1e-9
      ? [`dressing ${dressed}, said ${proposal.trim.wallDressingMm}`]
      : []),
    ...(Math.abs(wingOverTrim - proposal.after.soleWingMm.valueMm) > 1e-9
      ? ["sole under the wing"]
      : []),
  ];
};

const floorFaults = (input: TrimInput, proposal: TrimProposal): readonly string[] => {
  const { trim, after, plan } = proposal;
  const now = input.measures.breakoverDistanceMm.value;
  const horn = trim.toeBackMm - trim.shoeSetBackMm;
  const bevel = rad(35);
  const reach =
    Z95 *
    Math.hypot(
      Math.cos(bevel) * input.measures.soleDepthTipMm.standardUncertainty,
      Math.sin(bevel) * input.measures.breakoverDistanceMm.standardUncertainty,
    );
  const moving = (input.measures.founderChangeMm ?? 0) >= Z95 * Math.SQRT2 * 1;
  const aim =
    input.targets?.palmarAngleDegrees ??
    (input.animal === "donkey" ? { low: 6, high: 10 } : { low: 3, high: 5 });
  const foot = input.measures.palmarAngleDegrees.value - (input.measures.wedgeInPlaceDegrees ?? 0);
  const rules: readonly (readonly [boolean, string])[] = [
    [after.soleWingMm.floorMm >= 10, "sole floor under 10"],
    [
      trim.heelRemoveMm <= SMALL || after.soleWingMm.low95Mm >= after.soleWingMm.floorMm - SMALL,
      "heel cut through the wing's sole floor",
    ],
    [after.soleTipMm.valueMm === input.measures.soleDepthTipMm.value, "sole taken at the tip"],
    [
      trim.wallDressingMm <= SMALL ||
        after.wallDistalMm.low95Mm >= after.wallDistalMm.floorMm - SMALL,
      "wall under its floor",
    ],
    [
      horn <= SMALL || after.tipToBevelMm - reach >= after.soleTipMm.floorMm - 1e-7,
      "bevel nearer the tip than the floor",
    ],
    [after.breakoverFromP3TipMm <= now + SMALL, "breakover forward"],
    [plan.breakoverFromP3TipMm <= now + SMALL, "planned breakover forward"],
    [trim.heelRemoveMm >= 0 && trim.toeBackMm >= 0, "negative cut"],
    [trim.heelRemoveMm <= 10 + SMALL, "heel over 10 mm"],
    [trim.toeBackMm <= 26 + SMALL, "toe over the visit's limit"],
    [!(input.emergency || moving) || trim.heelRemoveMm === 0, "heel cut in first aid or sinking"],
    [proposal.wedge.degrees === 0 && plan.wedgeDegrees === 0, "wedge proposed"],
    [
      after.palmarAngleDegrees >= Math.min(foot, (aim.low + aim.high) / 2) - 1e-7,
      "angle under the aim",
    ],
    [
      after.palmarAngleByRotationDegrees >= Math.min(foot, aim.low) - 1e-7,
      "turned foot under the band",
    ],
    [
      proposal.reset.days <= input.intervalDays && proposal.reset.days <= input.ceilingDays,
      "cycle lengthened",
    ],
    [
      plan.heelRemoveMm <= trim.heelRemoveMm + SMALL && plan.toeBackMm <= trim.toeBackMm + SMALL,
      "plan cuts more than the proposal",
    ],
    [(proposal.lever?.relativeMoment ?? 1) <= 1 + SMALL, "lever grows"],
    [
      proposal.bearing.areaCm2 > 0 && Number.isFinite(proposal.bearing.pressureKPa),
      "no bearing area",
    ],
    [
      proposal.stages.every((stage) => stage.heelRemoveMm <= 10 + SMALL) &&
        proposal.stages.every(
          (stage, index) =>
            index === 0 ||
            stage.breakoverFromP3TipMm <=
              (proposal.stages[index - 1]?.breakoverFromP3TipMm ?? 0) + SMALL,
        ),
      "stages run backwards",
    ],
  ];
  return rules.filter(([holds]) => !holds).map(([, name]) => name);
};

const monotoneFaults = (input: TrimInput, proposal: TrimProposal): readonly string[] => {
  const stricter = trimFigures({
    ...input,
    limits: { soleBlockMm: proposal.after.soleTipMm.floorMm + 1 },
  });
  const lessHeel = trimFigures({
    ...input,
    targets: { ...input.targets, heelRemoveMaxMm: proposal.trim.heelRemoveMm / 2 },
  });
  const moreSole = trimFigures(withMeasure(input, "soleDepthWingMm", 2));
  const steeper = trimFigures(withMeasure(input, "palmarAngleDegrees", 0.5));
  const rules: readonly (readonly [boolean, string])[] = [
    [
      stricter.trim.heelRemoveMm <= proposal.trim.heelRemoveMm + SMALL &&
        stricter.trim.toeBackMm <= proposal.trim.toeBackMm + SMALL,
      "a higher sole floor takes more",
    ],
    [
      lessHeel.trim.heelRemoveMm <= proposal.trim.heelRemoveMm + SMALL &&
        lessHeel.after.palmarAngleDegrees >= proposal.after.palmarAngleDegrees - SMALL,
      "less heel off lowers the angle more",
    ],
    [
      moreSole.trim.heelRemoveMm >= proposal.trim.heelRemoveMm - SMALL,
      "more sole under the wing allows less heel",
    ],
    [
      steeper.trim.heelTotalMm >= proposal.trim.heelTotalMm - SMALL,
      "a steeper bone wants less heel off",
    ],
  ];
  return rules.filter(([holds]) => !holds).map(([, name]) => name);
};

const continuityFaults = (input: TrimInput, proposal: TrimProposal): readonly string[] =>
  (
    [
      "palmarAngleDegrees",
      "soleDepthWingMm",
      "soleDepthTipMm",
      "breakoverDistanceMm",
      "hornLamellarDistalMm",
      "dorsalWallAngleDegrees",
      "bearingLengthMm",
    ] as const
  ).flatMap((key) => {
    const before = smoothOutputs(proposal);
    const moved = smoothOutputs(trimFigures(withMeasure(input, key, STEP)));
    const jump = moved.some(
      (value, index) => Math.abs(value - (before[index] ?? 0)) > STEEPEST * STEP,
    );
    return jump ? [`jumps with ${key}`] : [];
  });

/** What is wrong with one proposal: floors, breakover, cycle, geometry; empty when nothing is. */
export const proposalFaults = (input: TrimInput): readonly string[] => {
  const proposal = proposeTrim(input);
  return [...floorFaults(input, proposal), ...geometryFaults(input, proposal)];
};

/** What is wrong with how the proposal answers a change of its measures and limits. */
export const responseFaults = (input: TrimInput): readonly string[] => {
  const proposal = proposeTrim(input);
  return [...monotoneFaults(input, proposal), ...continuityFaults(input, proposal)];
};

/** Everything wrong with the proposal for one foot. */
export const trimFaults = (input: TrimInput): readonly string[] => [
  ...proposalFaults(input),
  ...responseFaults(input),
];
