import type { Finding } from "../../evidence/index.ts";
import { localDateOf } from "../../time/index.ts";
import { buildCourse } from "../build-course.ts";
import type { DoseToCount } from "../counted-doses.ts";
import { ageAt } from "../course-facts.ts";
import type { Drug } from "../formulary/types.ts";
import type { DoseEvent, MedicationContext } from "../types.ts";
import { animalFindings } from "./animal.ts";
import { besideFindings } from "./company.ts";

/**
 * A dose outside any course passes no signature, so the questions a signature answers are asked
 * here: age, breeding, illness, kind of animal, and the medicines beside it.
 */
export const singleDoseFindings = (
  drug: Drug,
  dose: DoseEvent,
  doses: readonly DoseToCount[],
  context: MedicationContext,
): readonly Finding[] => {
  const presentation =
    drug.presentations.find(({ key }) => key === dose.presentationKey) ??
    drug.presentations.find(({ routes }) => routes.includes(dose.route)) ??
    drug.presentations[0];
  if (presentation === undefined) return [];
  const today = localDateOf(dose.givenAtMs, context.zone);
  const request = {
    drugKey: drug.key,
    presentationKey: presentation.key,
    route: dose.route,
    startOn: today,
    // The vet who gives it in person sets the dose for this animal.
    vetSetsSchedule: true,
    steps: [{ fromDay: 1, toDay: 1, everyDays: 1, timesLocal: ["00:00"], doseMg: dose.doseMg }],
  };
  const plan = buildCourse(request, context);
  if (plan === undefined) return [];
  const facts = {
    request,
    context,
    drug,
    presentation,
    plan,
    doses,
    today,
    age: ageAt(context.animal.bornOn, today),
  };
  return [...animalFindings(facts), ...besideFindings(facts)];
};
