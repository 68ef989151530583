import { isAllowed, type Finding, type Judged } from "../evidence/index.ts";
import { dayText, localDateOf } from "../time/index.ts";
import { buildCourse, courseSteps, type CoursePlan, type CourseRequest } from "./build-course.ts";
import { ageAt, comingDoses, historyToCount, isOpen, plannedToCount } from "./course-facts.ts";
import { found } from "./finding.ts";
import { drugOf, presentationOf } from "./formulary/index.ts";
import { RULE } from "./formulary/sources.ts";
import { animalFindings } from "./rules/animal.ts";
import { companyFindings } from "./rules/company.ts";
import { foodChainFindings } from "./rules/food-chain.ts";
import { limitFindings } from "./rules/limits.ts";
import { productFindings } from "./rules/product.ts";
import type { MedicationContext } from "./types.ts";
import { judgeWeight } from "./weight.ts";

const shapeFindings = (request: CourseRequest): readonly Finding[] =>
  request.steps.flatMap((step, index) =>
    Number.isInteger(step.fromDay) &&
    Number.isInteger(step.toDay) &&
    step.fromDay >= 1 &&
    step.toDay >= step.fromDay &&
    Number.isInteger(step.everyDays) &&
    step.everyDays >= 1 &&
    step.timesLocal.length > 0 &&
    new Set(step.timesLocal).size === step.timesLocal.length &&
    step.timesLocal.every((time) => /^([01]\d|2[0-3]):[0-5]\d$/u.test(time)) &&
    (step.doseMg ?? step.targetMgPerKg ?? 0) > 0
      ? []
      : [
          found(
            "step-shape",
            "block",
            `Step ${String(index + 1)} needs whole days in order, clock times that differ, and a dose.`,
            RULE.minimumUnits,
            `/steps/${String(index)}`,
          ),
        ],
  );

/**
 * May this course be signed? `ok` means no hard rule forbids it; every `warn` among the findings
 * still needs the vet's written reason (see `missingReasons`). Nothing here prescribes: a licensed
 * vet signs.
 */
export const judgeCourse = (
  request: CourseRequest,
  context: MedicationContext,
): Judged<CoursePlan> => {
  const drug = drugOf(request.drugKey);
  const presentation =
    drug === undefined ? undefined : presentationOf(drug, request.presentationKey);
  const shape = shapeFindings(request);
  if (request.steps.length === 0 || shape.length > 0)
    return {
      ok: false,
      findings: [
        ...shape,
        ...(request.steps.length === 0
          ? [
              found(
                "step-shape",
                "block",
                "A course needs at least one step.",
                RULE.minimumUnits,
                "/steps",
              ),
            ]
          : []),
      ],
    };
  const plan = buildCourse(request, context);
  if (drug === undefined || presentation === undefined || plan === undefined)
    return {
      ok: false,
      findings: [
        found("unknown-drug", "block", "Not in the formulary.", RULE.minimumUnits, "/drugKey"),
      ],
    };
  const today = localDateOf(context.atMs, context.zone);
  const asCourse = { ...request, id: request.id ?? "", steps: courseSteps(plan) };
  const doses = [
    ...historyToCount(context),
    ...context.courses
      .filter(
        (course) =>
          isOpen(course) && course.id !== request.id && course.id !== request.supersedesCourseId,
      )
      .flatMap((course) =>
        comingDoses(course, context.atMs, context.doses).map((dose) =>
          plannedToCount(course, dose, false),
        ),
      ),
    ...plan.doses.map((dose) => plannedToCount(asCourse, dose, true)),
  ];
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
  const findings = [
    ...judgeWeight(context),
    ...foodChainFindings(drug, context.animal, context.jurisdiction),
    ...productFindings(facts),
    ...animalFindings(facts),
    ...companyFindings(facts),
    ...limitFindings(facts),
    found(
      "review-date",
      "pass",
      `A vet looks again and signs by ${dayText(plan.reviewOn)}.`,
      drug.review.source,
    ),
  ];
  return isAllowed(findings) ? { ok: true, value: plan, findings } : { ok: false, findings };
};
