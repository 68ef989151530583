import type { FootPlanView, Prescription } from "@heelward/contracts";
import { judgeInterval } from "@heelward/domain/cycle";
import type { Finding } from "@heelward/domain/evidence";
import { judgeConsent, judgePrescription } from "@heelward/domain/trim";
import { defined } from "../../http/defined.ts";
import { badField } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import * as cases from "../cases/service.ts";
import { practiceCatalogue } from "../catalogue/service.ts";
import * as horses from "../horses/service.ts";
import { filmFigures } from "../radiographs/reading-figures.ts";
import { cyclePhase } from "../resets/standing.ts";
import { assertCatalogue } from "./catalogue.ts";
import { plannerFigures } from "./figures.ts";
import { measuresForPlan } from "./film-measures.ts";
import { domainPlan } from "./views.ts";

/** @throws Problem when a film is not of this horse. */
export const assertFilms = async (
  work: Work,
  horseId: string,
  ids: readonly string[],
): Promise<void> => {
  if (
    ids.length > 0 &&
    (await work.tx.radiograph.count({ where: { id: { in: [...ids] }, horseId } })) !==
      new Set(ids).size
  )
    throw badField("/radiographIds", "must name films of this horse");
};

/** @throws Problem when a foot is named twice or a shoe, fill or fixing is unknown. */
export const assertFeet = async (
  work: Work,
  feet: readonly FootPlanView[],
  keeps: readonly FootPlanView[] = [],
): Promise<void> => {
  if (new Set(feet.map((foot) => foot.foot)).size !== feet.length)
    throw badField("/feet", "names a foot twice");
  assertCatalogue(feet, "/feet", await practiceCatalogue(work), keeps);
};

/** What is said about the owner's consent to a plan. */
export const consentFindings = (
  plan: Pick<Prescription, "feet" | "conditions"> & {
    readonly consent?: { readonly givenBy: string } | null;
  },
): readonly Finding[] =>
  judgeConsent({
    feet: plan.feet,
    isEmergency: plan.conditions.emergency,
    agreedBy: plan.consent?.givenBy ?? null,
  });

/** Everything the rules say about a plan today. */
export const judge = async (
  work: Work,
  plan: Pick<
    Prescription,
    "horseId" | "caseId" | "feet" | "doNot" | "conditions" | "intervalDays" | "radiographIds"
  > & { readonly consent?: { readonly givenBy: string } | null },
  longerReason: string | undefined,
): Promise<readonly Finding[]> => {
  const found = await cases.read(work, plan.caseId);
  const horse = await horses.read(work, plan.horseId);
  const { films, measures } = await measuresForPlan(work, plan.horseId, plan.radiographIds);
  const figures = await plannerFigures(work);
  const phase = cyclePhase(found.phase);
  const interval = judgeInterval(
    {
      phase,
      intervalDays: plan.intervalDays,
      ...(longerReason === undefined
        ? {}
        : { longerBecause: { reason: longerReason, signedByRole: "vet" as const } }),
    },
    figures.own,
  );
  const judged = judgePrescription(
    {
      feet: plan.feet.map((foot) => domainPlan(foot, plan.doNot)),
      intervalDays: plan.intervalDays,
      ...defined({ wedgeTrialDays: plan.conditions.wedgeTrialDays }),
    },
    measures,
    {
      phase: found.phase,
      animal: horse.type,
      emergency: plan.conditions.emergency,
      films,
      ceilingDays: Math.max(plan.intervalDays, 1),
      own: figures.catalogue,
      values: figures.trim,
      filmAge: (await filmFigures(work)).filmAge,
      ...defined({ longerReason }),
    },
  );
  return [...interval, ...judged, ...consentFindings(plan)];
};
