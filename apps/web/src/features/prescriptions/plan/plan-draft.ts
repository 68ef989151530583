import type { Body, Answer } from "../../../api/operations.ts";
import type { FootPlanView } from "@heelward/contracts";
import { proposeTrim, type TrimInput } from "@heelward/domain/trim";

type Prescription = Answer<"readPrescription">;
/** Everything of a plan that a vet edits. */
export type PlanContent = {
  readonly [K in keyof Body<"draftPrescription">]-?: Exclude<
    Body<"draftPrescription">[K],
    undefined
  >;
};

/** The editable part of a plan. */
export const contentOf = (plan: Prescription): PlanContent => ({
  aim: plan.aim,
  feet: plan.feet,
  doNot: plan.doNot,
  conditions: plan.conditions,
  intervalDays: plan.intervalDays,
  urgent: plan.urgent,
  radiographIds: plan.radiographIds,
});

const toHalf = (value: number): number => Math.round(value * 2) / 2;
const toTenth = (value: number): number => Math.round(value * 10) / 10;

/** The planner's proposal in the form of a prescription. */
export const proposedFoot = (input: TrimInput, limitMm: number | null): FootPlanView => {
  const { doNots: _, ...plan } = proposeTrim(input).plan;
  return {
    ...plan,
    breakoverFromP3TipMm: toTenth(plan.breakoverFromP3TipMm),
    breakoverFromFrogTipMm:
      plan.breakoverFromFrogTipMm === undefined ? null : toTenth(plan.breakoverFromFrogTipMm),
    palmarAngleTargetDegrees: { ...plan.palmarAngleTargetDegrees },
    wedgeReason: null,
    limitMm,
    notes: null,
  };
};

/** Toe taken back, with both breakover figures that follow from it. */
export const withToeBack = (
  plan: FootPlanView,
  toeBackMm: number,
  input: TrimInput | undefined,
): FootPlanView => {
  const rounded = toHalf(Math.min(60, Math.max(0, toeBackMm)));
  if (input === undefined) return { ...plan, toeBackMm: rounded };
  const breakoverFromP3TipMm = toTenth(input.measures.breakoverDistanceMm.value - rounded);
  const frogTip = input.measures.frogTipToP3TipMm?.value;
  return {
    ...plan,
    toeBackMm: rounded,
    breakoverFromP3TipMm,
    breakoverFromFrogTipMm:
      frogTip === undefined
        ? plan.breakoverFromFrogTipMm
        : toTenth(Math.max(0, breakoverFromP3TipMm + frogTip)),
  };
};

export const withHeel = (plan: FootPlanView, heelRemoveMm: number): FootPlanView => ({
  ...plan,
  heelRemoveMm: toHalf(Math.min(40, Math.max(0, heelRemoveMm))),
});

/** The plan with one foot put in the place of what was planned for it. */
export const withFoot = (content: PlanContent, foot: FootPlanView): PlanContent => ({
  ...content,
  feet: content.feet.map((one) => (one.foot === foot.foot ? foot : one)),
});

/** What a proposal says must not be done, beside what is said already. */
export const doNotsFrom = (
  content: Pick<PlanContent, "doNot">,
  inputs: readonly TrimInput[],
): readonly string[] => {
  const proposed = inputs.flatMap((input) => proposeTrim(input).plan.doNots);
  return [...new Set(proposed)].filter((line) => !content.doNot.includes(line));
};
