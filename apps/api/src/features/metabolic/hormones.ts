import { weightInForce } from "@heelward/domain/medication";
import {
  afterIntolerance,
  pergolideStartMg,
  pergolideUsMaxMg,
  SUGAR_TESTS,
  sugarTestDose,
  titrationStep,
} from "@heelward/domain/metabolic";
import { localDateOf } from "@heelward/domain/time";
import { Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { readMedication } from "../medication/context.ts";

const readWeight = async (work: Work, horseId: string) => {
  const { context } = await readMedication(work, horseId);
  const weight = weightInForce(context);
  if (weight === undefined)
    throw new Problem("conflict", "There is no usable weight on file: weigh the horse first.");
  return { weightKg: weight.weightKg, today: localDateOf(context.atMs, context.zone) };
};

/** Arithmetic of a dose of pergolide: nothing is stored, the course is drafted and signed as any other. */
export const planPergolide = async (
  work: Work,
  horseId: string,
  { doseMg, on }: { readonly doseMg: number; readonly on?: string | undefined },
) => {
  const { weightKg, today } = await readWeight(work, horseId);
  const from = on ?? today;
  return {
    weightKg,
    startMg: pergolideStartMg(weightKg) ?? null,
    usMaxMg: pergolideUsMaxMg(weightKg),
    ...titrationStep(doseMg, weightKg, from),
    afterIntolerance: [...afterIntolerance(doseMg, weightKg, from)],
  };
};

/** How much sugar for this animal, when to sample, and the test's own cut-off. */
export const sugarTests = async (work: Work, horseId: string) => {
  const { weightKg } = await readWeight(work, horseId);
  return {
    weightKg,
    items: SUGAR_TESTS.map((test) => ({
      protocol: test.key,
      amount: sugarTestDose(test.key, weightKg),
      unit: test.doseUnit,
      fromMinute: test.fromMinute,
      toMinute: test.toMinute,
      cutoffUiuPerMl: test.cutoffUiuPerMl,
      source: test.source,
    })),
  };
};
