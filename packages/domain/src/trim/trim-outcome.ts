import { COVERAGE_FACTOR } from "../geometry/settings.ts";
import { groundBearing } from "./ground-bearing.ts";
import type { Bearing } from "./ground-bearing.ts";
import { palmarAngleAfterHeelDegrees, palmarAngleAfterRotationDegrees, radians } from "./heel.ts";
import { leverArm } from "./lever-arm.ts";
import type { LeverChange } from "./lever-arm.ts";
import { widthFromLength } from "./solar-outline.ts";
import { solveTrim } from "./solve-trim.ts";
import type { TrimOptimum } from "./solve-trim.ts";
import { programmeFor, trimFrame } from "./trim-frame.ts";
import type { TrimFrame } from "./trim-frame.ts";
import type { FootPlan, Reading, Remaining, TrimInput, TrimProposal } from "./trim-types.ts";

/** How much comes off: the planner's optimum, or what a person set. */
export type TrimAmounts = Pick<TrimOptimum, "heelMm" | "dressMm" | "bevelMm" | "setBackMm">;
export type ChosenTrim = Pick<FootPlan, "heelRemoveMm" | "toeBackMm">;

export type TrimFigures = Pick<TrimProposal, "trim" | "after">;

export interface TrimOutcome extends TrimFigures {
  readonly lever?: LeverChange;
  readonly bearing: Bearing;
}

const remaining = (reading: Reading, takenMm: number, floorMm: number): Remaining => {
  const valueMm = reading.value - takenMm;
  return {
    valueMm,
    low95Mm: valueMm - COVERAGE_FACTOR.value * reading.standardUncertainty,
    floorMm,
  };
};

export const toeOf = (amounts: TrimAmounts): number =>
  amounts.dressMm + amounts.bevelMm + amounts.setBackMm;

/**
 * Splits a chosen toe reduction the way the planner would: dress the wall, then bevel, and whatever the
 * horn does not allow is left to the shoe.
 */
export const divideToe = (frame: TrimFrame, chosen: ChosenTrim): TrimAmounts => {
  const bounds = programmeFor(frame);
  const dressMm = Math.min(chosen.toeBackMm, bounds.dressMostMm, bounds.hornMostMm);
  const bevelMm = Math.min(
    chosen.toeBackMm - dressMm,
    bounds.bevelMostMm,
    bounds.hornMostMm - dressMm,
  );
  return {
    heelMm: chosen.heelRemoveMm,
    dressMm,
    bevelMm,
    setBackMm: chosen.toeBackMm - dressMm - bevelMm,
  };
};

/** What comes off and what remains for given amounts. */
export const figuresFor = (
  input: TrimInput,
  frame: TrimFrame,
  amounts: TrimAmounts,
): TrimFigures => {
  const { measures } = input;
  const { heelMm } = amounts;
  const beforeMm = measures.breakoverDistanceMm.value;
  const toeBackMm = toeOf(amounts);
  const breakoverMm = beforeMm - toeBackMm;
  const wall = radians(frame.wallAngleDegrees);
  const bevel = radians(frame.limits.bevelDegrees);
  const wallDressingMm = amounts.dressMm * Math.sin(wall);
  const frogTip = measures.frogTipToP3TipMm?.value;
  return {
    trim: {
      heelRemoveMm: heelMm,
      heelTotalMm: frame.heelTotalMm,
      toeBackMm,
      toeBackTotalMm: frame.toeTotalMm,
      wallDressingMm,
      bevelBackMm: amounts.bevelMm,
      shoeSetBackMm: amounts.setBackMm,
      toeAlongWallMm: amounts.bevelMm / frame.bevelPerHeight / Math.sin(wall),
    },
    after: {
      palmarAngleDegrees: palmarAngleAfterHeelDegrees(
        frame.palmarAngleDegrees,
        heelMm,
        frame.baseLengthMm,
      ),
      palmarAngleByRotationDegrees: palmarAngleAfterRotationDegrees(
        frame.palmarAngleDegrees,
        heelMm,
        frame.baseLengthMm,
      ),
      breakoverFromP3TipMm: breakoverMm,
      ...(frogTip === undefined ? {} : { breakoverFromFrogTipMm: breakoverMm + frogTip }),
      soleTipMm: remaining(measures.soleDepthTipMm, 0, frame.soleFloorMm),
      soleWingMm: remaining(measures.soleDepthWingMm, heelMm * frame.wingShare, frame.soleFloorMm),
      wallDistalMm: remaining(measures.hornLamellarDistalMm, wallDressingMm, frame.wallFloorMm),
      tipToBevelMm:
        measures.soleDepthTipMm.value * Math.cos(bevel) +
        (beforeMm - amounts.dressMm - amounts.bevelMm) * Math.sin(bevel),
      ...(measures.heelHeightMm === undefined
        ? {}
        : { heelHeightMm: measures.heelHeightMm.value - heelMm }),
    },
  };
};

/** Lever arm and bearing for given amounts, shoe and fill. */
export const loadFor = (
  input: TrimInput,
  frame: TrimFrame,
  amounts: TrimAmounts,
): Pick<TrimOutcome, "lever" | "bearing"> => {
  const { measures } = input;
  const beforeMm = measures.breakoverDistanceMm.value;
  const breakoverMm = beforeMm - toeOf(amounts);
  const frogTip = measures.frogTipToP3TipMm?.value;
  return {
    ...(measures.centreOfRotation === undefined
      ? {}
      : { lever: leverArm(measures.centreOfRotation.xMm, beforeMm, breakoverMm) }),
    bearing: groundBearing({
      toeX: beforeMm - amounts.dressMm,
      heelX: -frame.baseLengthMm,
      breakoverX: breakoverMm,
      // The width of the foot as it stands: dressing the toe does not narrow the quarters.
      widthMm: measures.footWidthMm?.value ?? widthFromLength(beforeMm + frame.baseLengthMm),
      ...(frogTip === undefined ? {} : { frogTipBehindMm: frogTip }),
      shoe: input.shoe,
      supportFill: input.supportFill,
      ...(input.own === undefined ? {} : { own: input.own }),
      values: frame.values,
      weightKg: input.weightKg,
      limb: input.foot === "LF" || input.foot === "RF" ? "front" : "hind",
    }),
  };
};

/**
 * The planner's figures without dates, load or findings: what comes off this visit and what remains.
 * @throws RangeError on measures that cannot belong to a foot.
 */
export const trimFigures = (input: TrimInput): TrimFigures => {
  const frame = trimFrame(input);
  return figuresFor(input, frame, solveTrim(programmeFor(frame)));
};

/**
 * What follows when a person sets heel and toe by hand: the same figures, lever arm and bearing as the
 * proposal gives. It judges nothing; `judgePrescription` does.
 * @throws RangeError on measures that cannot belong to a foot, or negative amounts.
 */
export const trimOutcome = (input: TrimInput, chosen: ChosenTrim): TrimOutcome => {
  if (!(chosen.heelRemoveMm >= 0) || !(chosen.toeBackMm >= 0))
    throw new RangeError("heel and toe to remove must be 0 mm or more");
  const frame = trimFrame(input);
  const amounts = divideToe(frame, chosen);
  return { ...figuresFor(input, frame, amounts), ...loadFor(input, frame, amounts) };
};
