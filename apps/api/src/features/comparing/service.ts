import {
  causeGroupOf,
  SIMILAR_CASE_SETTINGS,
  similarCases,
  type CaseShape,
} from "@heelward/domain/cases";
import type { Work } from "../../http/work.ts";
import * as cases from "../cases/service.ts";
import * as store from "./store.ts";

/** Similar cases of the own practice. What has too few neighbours answers with no count at all. */
export const compare = async (work: Work, caseId: string) => {
  await cases.read(work, caseId);
  const shapes = (await store.findShapes(work.tx)).flatMap((row): CaseShape[] => {
    const cause = causeGroupOf(row.cause);
    return cause === undefined
      ? []
      : [{ ...row, cause, outcome: row.closeReason ?? "still in treatment" }];
  });
  const subject = shapes.find((one) => one.caseId === caseId);
  const { rotationStep, founderStep, leastCases } = SIMILAR_CASE_SETTINGS;
  const found = subject === undefined ? undefined : similarCases(subject, shapes);
  return {
    subject:
      subject === undefined
        ? null
        : {
            cause: subject.cause,
            rotationDegrees: subject.rotationDegrees,
            founderDistanceMm: subject.founderDistanceMm,
          },
    steps: { rotationDegrees: rotationStep.value, founderDistanceMm: founderStep.value },
    leastCases: leastCases.value,
    count: found?.count ?? null,
    outcomes: [...(found?.outcomes ?? [])],
  };
};
