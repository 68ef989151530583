import type { TestService } from "./service.ts";

/** A plan that needs no film: nothing is cut, the foot is supported. */
const FOOT = {
  foot: "LF",
  toeBackMm: 5,
  breakoverFromP3TipMm: 6,
  heelRemoveMm: 0,
  palmarAngleTargetDegrees: { low: 3, high: 5 },
  soleMinMm: 12,
  shoe: "foam",
  supportFill: "none",
  fixing: "tape",
} as const;

/** Drafts a first-aid plan as the vet and gives its id. */
export const draftFirstAidPlan = async (
  service: TestService,
  caseId: string,
  aim: string,
): Promise<string> => {
  const drafted = await service.vet.send("post", `/cases/${caseId}/prescriptions`, {
    aim,
    feet: [FOOT],
    conditions: { emergency: true },
    intervalDays: 10,
  });
  if (drafted.status !== 201) throw new Error(`could not draft: ${drafted.text}`);
  return drafted.body.id as string;
};

/** Signs a draft as the vet, with a reason for each warning. */
export const signPlan = async (service: TestService, id: string): Promise<void> => {
  const signing = (overrides: object[]) =>
    service.vet.send(
      "post",
      `/prescriptions/${id}/signature`,
      { readBack: { filmOpened: false, targetsConfirmed: true }, overrides },
      1,
    );
  const first = await signing([]);
  const rules = new Set(
    ((first.body.findings ?? []) as { rule: string; outcome: string }[])
      .filter((finding) => finding.outcome === "warn")
      .map((finding) => finding.rule),
  );
  if (first.status === 200) return;
  const second = await signing([...rules].map((rule) => ({ rule, reason: "First aid" })));
  if (second.status !== 200) throw new Error(`could not sign: ${second.text}`);
};
