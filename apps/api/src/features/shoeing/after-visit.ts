import type { FootPlanView, Prescription } from "@heelward/contracts";
import { addDays, type LocalDate } from "@heelward/domain/time";
import type { NewTask } from "../tasks/service.ts";

interface Visit {
  readonly recordId: string;
  readonly horseId: string;
  readonly caseId: string | null;
  readonly doneOn: LocalDate;
  readonly feet: readonly { readonly foot: FootPlanView["foot"]; readonly wedgeDegrees: number }[];
  /** Set when the horse is worse and a heel raise was used. */
  readonly wedgeRemoval: string | null;
}

/**
 * What a visit leaves to be done: a film on the last day of each trial that began with the fitting, and
 * a heel raise that must come out at once.
 */
export const tasksAfterVisit = (
  visit: Visit,
  plan: Pick<Prescription, "number" | "feet" | "conditions"> | null,
): readonly NewTask[] => {
  const { caseId, horseId, doneOn } = visit;
  if (caseId === null) return [];
  const task = { caseId, horseId, refType: "shoeing record", refId: visit.recordId };
  const done = visit.feet.filter(
    ({ foot }) => plan?.feet.some((one) => one.foot === foot) === true,
  );
  const film = (days: number, title: string, detail: string, feet: Visit["feet"]): NewTask[] =>
    feet.map(({ foot }) => ({
      ...task,
      kind: "film",
      forRole: "vet",
      foot,
      title: `${title}: film ${foot}`,
      detail,
      opensOn: addDays(doneOn, days),
      dueOn: addDays(doneOn, days),
    }));
  const { trial, wedgeTrialDays } = plan?.conditions ?? {};
  return [
    ...(trial === undefined
      ? []
      : film(
          trial.days,
          "End of the trial",
          `${trial.question} The vet's mind changes if: ${trial.vetWouldChange} The farrier's if: ${trial.farrierWouldChange}`,
          done,
        )),
    ...(wedgeTrialDays === undefined
      ? []
      : film(
          wedgeTrialDays,
          "End of the heel-raise trial",
          "Film the foot, take the wedge out of the reading, and decide whether the raise stays.",
          done.filter(({ wedgeDegrees }) => wedgeDegrees > 0),
        )),
    ...(visit.wedgeRemoval === null
      ? []
      : [
          {
            ...task,
            kind: "heel raise out" as const,
            forRole: "farrier" as const,
            title: "Heel raise out at once",
            detail: visit.wedgeRemoval,
            opensOn: doneOn,
            dueOn: doneOn,
          },
        ]),
  ];
};
