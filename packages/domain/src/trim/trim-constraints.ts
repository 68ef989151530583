import type { Source } from "../evidence/index.ts";
import { founderMovesFromMm } from "./judge-wedge.ts";
import type { TrimOptimum } from "./solve-trim.ts";
import { TRIM_SOURCES } from "./sources.ts";
import { lower95 } from "./trim-frame.ts";
import type { TrimFrame } from "./trim-frame.ts";
import type { Constraint, TrimInput, TrimProposal } from "./trim-types.ts";

const NEAR_MM = 1e-6;
const mm = (value: number): string => value.toFixed(1);

/** Everything that shaped the trim, in the order a farrier would ask. */
export const trimConstraints = (
  input: TrimInput,
  frame: TrimFrame,
  optimum: TrimOptimum,
  after: TrimProposal["after"],
  reset: TrimProposal["reset"],
  visitsNeeded: number,
  reachable: { readonly heel: boolean; readonly toe: boolean },
): readonly Constraint[] => {
  const { measures } = input;
  const heelShort = optimum.heelGapMm > NEAR_MM;
  const toeShort = optimum.toeGapMm > NEAR_MM;
  const tipLow = lower95(measures.soleDepthTipMm);
  const constraint = (
    id: string,
    met: boolean,
    binding: boolean,
    detail: string,
    source: Source,
  ): Constraint => ({ id, met, binding, detail, source });
  const wingBinds = heelShort && frame.wingAllowsMm - optimum.heelMm < NEAR_MM;
  const capBinds = heelShort && frame.heelCapMm - optimum.heelMm < NEAR_MM && !wingBinds;
  const hornMm = optimum.dressMm + optimum.bevelMm;
  const toeMm = hornMm + optimum.setBackMm;
  const inBand =
    after.palmarAngleDegrees >= frame.band.low - 1e-9 &&
    after.palmarAngleDegrees <= frame.band.high + 1e-9;
  const lowAlready = frame.palmarAngleDegrees < frame.band.low;
  const breakoverInBand = after.breakoverFromP3TipMm <= frame.breakoverBand.high + NEAR_MM;
  const stagesText = (reach: boolean) =>
    visitsNeeded > 1 && reach
      ? ` Reached over ${visitsNeeded} visits.`
      : reach
        ? ""
        : " Not reached by trimming within these limits: horn must grow first.";
  return [
    constraint(
      "sole-tip-floor",
      tipLow >= frame.soleFloorMm,
      false,
      `No sole is taken under the tip: ${mm(measures.soleDepthTipMm.value)} mm stays (lower 95 % bound ${mm(tipLow)}, floor ${mm(frame.soleFloorMm)}).`,
      TRIM_SOURCES.soleUntouched,
    ),
    constraint(
      "sole-wing-floor",
      after.soleWingMm.low95Mm >= frame.soleFloorMm - NEAR_MM,
      wingBinds,
      `Sole under the wing ${mm(after.soleWingMm.valueMm)} mm after the heels (lower 95 % bound ${mm(after.soleWingMm.low95Mm)}, floor ${mm(frame.soleFloorMm)}).`,
      TRIM_SOURCES.soleFloor,
    ),
    constraint(
      "heel-per-visit",
      optimum.heelMm <= frame.heelCapMm + NEAR_MM,
      capBinds,
      `Heels ${mm(optimum.heelMm)} mm this visit of ${mm(frame.heelTotalMm)} mm in all; at most ${mm(frame.heelCapMm)} mm a visit, never over ${frame.values.heelHardMm}.`,
      TRIM_SOURCES.heelTenMm,
    ),
    constraint(
      "angle-not-under",
      after.palmarAngleByRotationDegrees >=
        Math.min(frame.palmarAngleDegrees, frame.band.low) - 1e-9,
      heelShort && frame.angleAllowsMm - optimum.heelMm < NEAR_MM,
      `Turned about the tip of P3 the foot stands at ${mm(after.palmarAngleByRotationDegrees)}°, not under ${frame.band.low}°.`,
      TRIM_SOURCES.rotationGeometry,
    ),
    ...(input.emergency
      ? [
          constraint(
            "emergency",
            true,
            heelShort,
            "First aid: no heel is cut and none is raised.",
            TRIM_SOURCES.emergencyHeel,
          ),
        ]
      : []),
    ...(frame.founderMoving
      ? [
          constraint(
            "founder-moving",
            false,
            heelShort,
            `The founder distance rose ${mm(measures.founderChangeMm ?? 0)} mm, more than reading error (${mm(founderMovesFromMm(measures.founderSemMm))} mm): no heel is cut and none is raised.`,
            TRIM_SOURCES.founderMoving,
          ),
        ]
      : []),
    constraint(
      "palmar-angle-target",
      inBand,
      false,
      lowAlready
        ? `Palmar angle ${mm(frame.palmarAngleDegrees)}° lies under the ${frame.band.low} to ${frame.band.high}° wanted; a trim cannot raise it.`
        : `Palmar angle ${mm(frame.palmarAngleDegrees)}° to ${mm(after.palmarAngleDegrees)}° (wanted ${frame.band.low} to ${frame.band.high}°).${heelShort ? stagesText(reachable.heel) : ""}`,
      input.animal === "donkey" ? TRIM_SOURCES.donkeyBand : TRIM_SOURCES.palmarBand,
    ),
    constraint(
      "breakover-target",
      breakoverInBand,
      false,
      `Breakover ${mm(measures.breakoverDistanceMm.value)} to ${mm(after.breakoverFromP3TipMm)} mm in front of the tip of P3 (wanted ${mm(frame.breakoverAimMm)}).${toeShort ? stagesText(reachable.toe) : ""}`,
      TRIM_SOURCES.breakoverTarget,
    ),
    constraint(
      "breakover-not-forward",
      after.breakoverFromP3TipMm <= measures.breakoverDistanceMm.value,
      false,
      "Breakover is never moved forward.",
      TRIM_SOURCES.leverArm,
    ),
    constraint(
      "toe-per-visit",
      toeMm <= frame.limits.toePerVisitMm + NEAR_MM,
      toeShort && frame.limits.toePerVisitMm - toeMm < NEAR_MM,
      `Toe ${mm(toeMm)} mm back this visit of ${mm(frame.toeTotalMm)} mm in all; at most ${mm(frame.limits.toePerVisitMm)} mm a visit.`,
      TRIM_SOURCES.toeHouse,
    ),
    constraint(
      "wall-floor",
      after.wallDistalMm.low95Mm >= frame.wallFloorMm - NEAR_MM,
      toeShort && frame.dressMostMm - optimum.dressMm < NEAR_MM,
      `Wall to P3 at the tip ${mm(after.wallDistalMm.valueMm)} mm after dressing (lower 95 % bound ${mm(after.wallDistalMm.low95Mm)}, floor ${mm(frame.wallFloorMm)}).`,
      TRIM_SOURCES.wallFloor,
    ),
    constraint(
      "tip-to-bevel",
      optimum.bevelMm < NEAR_MM || after.tipToBevelMm >= frame.soleFloorMm - NEAR_MM,
      toeShort && frame.hornMostMm - hornMm < NEAR_MM,
      `The bevel passes ${mm(after.tipToBevelMm)} mm from the tip of P3 (floor ${mm(frame.soleFloorMm)}).`,
      TRIM_SOURCES.bevelGeometry,
    ),
    constraint(
      "bevel-height",
      optimum.bevelMm <= frame.bevelMostMm + NEAR_MM,
      toeShort && frame.bevelMostMm - optimum.bevelMm < NEAR_MM,
      `The bevel runs ${mm(optimum.bevelMm / frame.bevelPerHeight)} mm up the toe of at most ${mm(frame.limits.bevelHeightMm)} mm a visit.`,
      TRIM_SOURCES.bevelHeight,
    ),
    constraint(
      "shoe-set-back",
      optimum.setBackMm <= frame.setBackMostMm + NEAR_MM,
      toeShort && frame.setBackMostMm - optimum.setBackMm < NEAR_MM,
      `The shoe carries breakover back ${mm(optimum.setBackMm)} mm of ${mm(frame.setBackMostMm)} it can.`,
      TRIM_SOURCES.outline,
    ),
    constraint(
      "cycle-ceiling",
      reset.days <= input.ceilingDays && reset.days <= input.intervalDays,
      reset.bound !== "interval",
      reset.detail,
      TRIM_SOURCES.interval,
    ),
  ];
};
