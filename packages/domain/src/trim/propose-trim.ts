import type { Finding } from "../evidence/index.ts";
import { suggestReset } from "../growth/index.ts";
import { palmarAngleAfterHeelDegrees, radians } from "./heel.ts";
import { findShoe } from "./shoe-catalogue.ts";
import { solveTrim } from "./solve-trim.ts";
import { TRIM_SOURCES } from "./sources.ts";
import { trimConstraints } from "./trim-constraints.ts";
import { programmeFor, trimFrame } from "./trim-frame.ts";
import type { TrimFrame } from "./trim-frame.ts";
import { figuresFor, loadFor, toeOf } from "./trim-outcome.ts";
import type { FootPlan, Remaining, TrimInput, TrimProposal, TrimStage } from "./trim-types.ts";

const MOST_VISITS = 12;
/** Gaps below what a rasp can follow are no gap. */
const RASP_MM = 0.05;

/** Visits until the wanted figures are met or no visit brings them nearer. Growth between is not counted. */
const stageTrim = (frame: TrimFrame, breakoverMm: number): readonly TrimStage[] => {
  const stages: TrimStage[] = [];
  let taken = { heelMm: 0, dressMm: 0, bevelMm: 0, setBackMm: 0 };
  for (let visit = 1; visit <= MOST_VISITS; visit += 1) {
    const optimum = solveTrim(programmeFor(frame, taken));
    if (optimum.heelMm + toeOf(optimum) < RASP_MM) break;
    taken = {
      heelMm: taken.heelMm + optimum.heelMm,
      dressMm: taken.dressMm + optimum.dressMm,
      bevelMm: taken.bevelMm + optimum.bevelMm,
      setBackMm: taken.setBackMm + optimum.setBackMm,
    };
    stages.push({
      visit,
      heelRemoveMm: optimum.heelMm,
      toeBackMm: toeOf(optimum),
      palmarAngleDegrees: palmarAngleAfterHeelDegrees(
        frame.palmarAngleDegrees,
        taken.heelMm,
        frame.baseLengthMm,
      ),
      breakoverFromP3TipMm: breakoverMm - taken.dressMm - taken.bevelMm - taken.setBackMm,
    });
  }
  return stages;
};

const resetFor = (
  input: TrimInput,
  frame: TrimFrame,
  breakoverAfterMm: number,
): TrimProposal["reset"] => {
  const held = Math.min(input.intervalDays, input.ceilingDays);
  if (input.growth === undefined)
    return {
      days: held,
      bound: input.intervalDays <= input.ceilingDays ? "interval" : "ceiling",
      detail: `Next reset within ${held} days; no growth readings or limit to forecast from.`,
    };
  const { limitMm, ...growth } = input.growth;
  const suggestion = suggestReset(
    { ...growth, breakoverAfterMm, wallAngleDegrees: frame.wallAngleDegrees },
    limitMm,
    input.intervalDays,
    input.ceilingDays,
  );
  return { days: suggestion.day, bound: suggestion.bound, detail: suggestion.detail };
};

const placementFor = (
  input: TrimInput,
  frame: TrimFrame,
  breakoverMm: number,
): TrimProposal["placement"] => {
  const shoe = findShoe(input.shoe, input.own);
  const frogTip = input.measures.frogTipToP3TipMm?.value;
  const hasPlate = shoe?.footprint.frogPlate === true;
  const platePossible = hasPlate && frogTip !== undefined && input.animal !== "donkey";
  const behind = frame.values.frogPlateBehindFrogTipMm;
  const notes = [
    ...(hasPlate && frogTip === undefined
      ? ["Mark the tip of the frog on the film: without it the frog plate cannot be placed."]
      : []),
    ...(hasPlate && input.animal === "donkey"
      ? ["Donkey: the frog lies further back, the offset for horses does not hold."]
      : []),
    ...(platePossible && -(frogTip + behind) > 0
      ? ["The plate would reach in front of the tip of P3: set it behind the tip."]
      : []),
    ...(hasPlate
      ? ["Plate touches before the heels only if a pressure test on the frog is tolerated."]
      : []),
  ];
  return {
    shoeFrontFromP3TipMm: breakoverMm,
    heelPastButtressMm: shoe?.thicknessMm ?? 0,
    ...(platePossible ? { frogPlateTipFromP3TipMm: Math.min(0, -(frogTip + behind)) } : {}),
    fillFrontFromP3TipMm: Math.min(breakoverMm, -frame.values.fillBehindTipMm),
    notes,
  };
};

const findingsFor = (
  input: TrimInput,
  frame: TrimFrame,
  after: TrimProposal["after"],
): readonly Finding[] => {
  const { limits } = frame;
  const soleFinding = (part: "tip" | "wing", sole: Remaining): readonly Finding[] => {
    const outcome =
      sole.low95Mm < limits.soleBlockMm
        ? "warn"
        : sole.low95Mm < limits.soleAimMm
          ? "note"
          : "pass";
    const measured = `Sole under the ${part} ${sole.valueMm.toFixed(1)} mm, lower 95 % bound ${sole.low95Mm.toFixed(1)}`;
    const detail =
      outcome === "warn"
        ? `${measured}: under ${limits.soleBlockMm}. Nothing may come off; protect it.`
        : outcome === "note"
          ? `${measured}: under the ${limits.soleAimMm} wanted${sole.low95Mm < limits.soleWarnMm ? ` and under ${limits.soleWarnMm}` : ""}.`
          : `${measured}.`;
    return [
      {
        rule: `trim/sole-${part}@1`,
        outcome,
        detail,
        source: TRIM_SOURCES.soleFloor,
        field: part === "tip" ? "/measures/soleDepthTipMm" : "/measures/soleDepthWingMm",
      },
    ];
  };
  const wedge = input.measures.wedgeInPlaceDegrees ?? 0;
  const liveSoleMm =
    input.measures.soleDepthTipMm.value /
      Math.tan(radians(input.measures.dorsalP3AngleDegrees.value - wedge)) +
    frame.values.outsideLiveSoleMm;
  return [
    ...soleFinding("tip", after.soleTipMm),
    ...soleFinding("wing", after.soleWingMm),
    ...(after.breakoverFromP3TipMm < liveSoleMm
      ? [
          {
            rule: "trim/live-sole@1",
            outcome: "note" as const,
            detail: `Breakover lies behind the line ${frame.values.outsideLiveSoleMm} mm outside live sole (about ${liveSoleMm.toFixed(0)} mm in front of the tip): bevel wall only, leave the sole.`,
            source: TRIM_SOURCES.heelTenMm,
          },
        ]
      : []),
    ...(wedge > 0
      ? [
          {
            rule: "trim/wedge-in-place@1",
            outcome: "note" as const,
            detail: `Film taken on a ${wedge}° wedge: palmar angle ${input.measures.palmarAngleDegrees.value.toFixed(1)}° = ${frame.palmarAngleDegrees.toFixed(1)}° of foot + ${wedge}° of wedge. The plan uses the foot.`,
            source: TRIM_SOURCES.rotationGeometry,
          },
        ]
      : []),
  ];
};

/** Down to the half millimetre a rasp can follow, so that rounding never passes a floor. */
const cutMm = (value: number): number => Math.floor(value * 2 + 1e-9) / 2;

const planFor = (input: TrimInput, frame: TrimFrame, heelMm: number, toeMm: number): FootPlan => {
  const toeBackMm = cutMm(toeMm);
  const breakoverFromP3TipMm = input.measures.breakoverDistanceMm.value - toeBackMm;
  const frogTip = input.measures.frogTipToP3TipMm?.value;
  return {
    foot: input.foot,
    toeBackMm,
    breakoverFromP3TipMm,
    ...(frogTip === undefined ? {} : { breakoverFromFrogTipMm: breakoverFromP3TipMm + frogTip }),
    heelRemoveMm: cutMm(heelMm),
    palmarAngleTargetDegrees: frame.band,
    soleMinMm: frame.soleFloorMm,
    wedgeDegrees: 0,
    shoe: input.shoe,
    supportFill: input.supportFill,
    fixing: input.fixing,
    doNots: [
      "No sole off in front of the frog.",
      ...(input.emergency ? ["No heel off and no wedge."] : []),
      ...(frame.founderMoving ? ["No wedge while the founder distance moves."] : []),
      ...(input.phase === "acute" ? ["No hammering."] : []),
    ],
  };
};

/**
 * Proposes a trim and shoe for one foot from its measures: what comes off this visit, what remains,
 * what stopped it from going further, and the visits to come. It computes and checks; the vet edits
 * and signs, the farrier accepts or declines.
 *
 * @throws RangeError on measures that cannot belong to a foot (see `checkTrimMeasures`).
 */
export const proposeTrim = (input: TrimInput): TrimProposal => {
  const frame = trimFrame(input);
  const { measures } = input;
  const optimum = solveTrim(programmeFor(frame));
  const { trim, after } = figuresFor(input, frame, optimum);
  const beforeMm = measures.breakoverDistanceMm.value;
  const breakoverMm = after.breakoverFromP3TipMm;
  const stages = stageTrim(frame, beforeMm);
  const last = stages.at(-1);
  const heelReached = stages.reduce((sum, stage) => sum + stage.heelRemoveMm, 0);
  const reachable = {
    heel: frame.heelTotalMm - heelReached < RASP_MM,
    toe: (last?.breakoverFromP3TipMm ?? beforeMm) - (beforeMm - frame.toeTotalMm) < RASP_MM,
  };
  const reset = resetFor(input, frame, breakoverMm);
  const constraints = trimConstraints(
    input,
    frame,
    optimum,
    after,
    reset,
    stages.length,
    reachable,
  );
  return {
    foot: input.foot,
    trim,
    after,
    visitsNeeded: stages.length,
    stages,
    wedge: {
      degrees: 0,
      detail: input.emergency
        ? "No heel raise in first aid."
        : "No heel raise is proposed; if the vet adds one it needs a reason and an end date.",
    },
    placement: placementFor(input, frame, breakoverMm),
    ...loadFor(input, frame, optimum),
    reset,
    constraints,
    findings: findingsFor(input, frame, after),
    targetsMet: constraints.every(
      (constraint) =>
        constraint.met || !["palmar-angle-target", "breakover-target"].includes(constraint.id),
    ),
    plan: planFor(input, frame, trim.heelRemoveMm, trim.toeBackMm),
  };
};
