import type { Finding } from "../evidence/index.ts";
import { COVERAGE_FACTOR, SEM_FOUNDER_MM } from "../geometry/settings.ts";
import { STANDARD_TRIM_VALUES } from "./settings.ts";
import type { TrimValues } from "./settings.ts";
import { TRIM_SOURCES } from "./sources.ts";

/** Smallest change of the founder distance that is not reading error: 1.96 × √2 × error of one reading. */
export const founderMovesFromMm = (semMm: number = SEM_FOUNDER_MM.value): number =>
  COVERAGE_FACTOR.value * Math.SQRT2 * semMm;

/** True when the bone is going down by more than reading error. */
export const isFounderMoving = (changeMm: number | undefined, semMm?: number): boolean =>
  changeMm !== undefined && changeMm >= founderMovesFromMm(semMm);

export interface WedgeQuestion {
  readonly wedgeDegrees: number;
  readonly reason?: string;
  readonly emergency: boolean;
  readonly founderChangeMm?: number;
  readonly founderSemMm?: number;
  /** Day the trial ends, counted from fitting. */
  readonly trialDays?: number;
  readonly values?: Pick<TrimValues, "wedgeMostDegrees" | "wedgeMostDays">;
}

/**
 * What stands against a heel raise. No wedge, no findings. In first aid it is refused. On a moving
 * bone the warning stays on the plan; without a written reason it cannot be signed.
 */
export const judgeWedge = (question: WedgeQuestion): readonly Finding[] => {
  const { wedgeDegrees } = question;
  if (!(wedgeDegrees > 0)) return [];
  const reasoned = (question.reason ?? "").trim() !== "";
  const moving = isFounderMoving(question.founderChangeMm, question.founderSemMm);
  const values = question.values ?? STANDARD_TRIM_VALUES;
  const most = values.wedgeMostDegrees;
  const mostDays = values.wedgeMostDays;
  const findings: Finding[] = [];
  if (question.emergency)
    findings.push({
      rule: "trim/wedge-emergency@1",
      outcome: "block",
      detail: `No heel raise in first aid: ${wedgeDegrees}° asked.`,
      source: TRIM_SOURCES.emergencyHeel,
      field: "/wedgeDegrees",
    });
  if (wedgeDegrees > most)
    findings.push({
      rule: "trim/wedge-size@1",
      outcome: "block",
      detail: `A heel raise of ${wedgeDegrees}° is over the ${most}° that was studied.`,
      source: TRIM_SOURCES.wedgeSmall,
      field: "/wedgeDegrees",
    });
  if (!reasoned)
    findings.push({
      rule: "trim/wedge-reason@1",
      outcome: "block",
      detail: "A heel raise needs a written reason.",
      source: TRIM_SOURCES.wedgeConflict,
      field: "/wedgeReason",
    });
  if (moving)
    findings.push({
      rule: "trim/wedge-founder-moving@1",
      outcome: reasoned ? "warn" : "block",
      detail: `The founder distance rose ${question.founderChangeMm?.toFixed(1)} mm, more than reading error (${founderMovesFromMm(question.founderSemMm).toFixed(1)} mm): a heel raise is not for a sinking bone.${reasoned ? ` Reason given: ${question.reason}` : ""}`,
      source: TRIM_SOURCES.founderMoving,
      field: "/wedgeDegrees",
    });
  if (question.trialDays === undefined || question.trialDays > mostDays)
    findings.push({
      rule: "trim/wedge-trial@1",
      outcome: "warn",
      detail:
        question.trialDays === undefined
          ? `A heel raise is a trial: give it an end date within ${mostDays} days and a film.`
          : `A heel raise for ${question.trialDays} days is longer than the trial of ${mostDays} days.`,
      source: TRIM_SOURCES.wedgeShort,
      field: "/wedgeDegrees",
    });
  findings.push({
    rule: "trim/wedge-sides@1",
    outcome: "note",
    detail: `Sources disagree about raising heels. If the horse is worse afterwards the ${wedgeDegrees}° come off at once.`,
    source: TRIM_SOURCES.wedgeConflict,
  });
  return findings;
};
