import type { Finding } from "../evidence/index.ts";
import { addDays, type LocalDate } from "../time/index.ts";
import { doseRateText, found } from "./finding.ts";
import { drugOf, presentationOf } from "./formulary/index.ts";
import { RULE } from "./formulary/sources.ts";
import type { Drug, Presentation } from "./formulary/types.ts";
import { monitoringTasks, type MonitoringTask } from "./monitoring.ts";
import { firstReviewOn } from "./review.ts";
import { lastDayOf, MAX_PLAN_DAYS, scheduledDoses, type ScheduledDose } from "./schedule.ts";
import type { Course, CourseStep, MedicationContext } from "./types.ts";
import { weightInForce, type WeightInForce } from "./weight.ts";

/** A step as the vet asks for it: a rate to be rounded to what can be measured, or a fixed amount. */
export interface RequestedStep extends Omit<CourseStep, "doseMg"> {
  readonly doseMg?: number | undefined;
  readonly targetMgPerKg?: number | undefined;
}

/** A course on paper, before any signature. */
export interface CourseRequest extends Pick<
  Course,
  | "drugKey"
  | "presentationKey"
  | "route"
  | "startOn"
  | "continuesFromDay"
  | "restartsSeries"
  | "shifts"
> {
  readonly id?: string | undefined;
  readonly steps: readonly RequestedStep[];
  /** The vet allows half sachets or half tablets where the label does. */
  readonly allowSplit?: boolean | undefined;
  /** Doses of this course are replaced, so what it still had to come is not counted. */
  readonly supersedesCourseId?: string | undefined;
  /** For donkeys and mules: the vet worked the interval out for this animal. */
  readonly vetSetsSchedule?: boolean | undefined;
  /** Recorded by the vet for this course where a rule asks for both. */
  readonly hydrationAndCreatinineRecorded?: boolean | undefined;
  /** Day of the next blood test, where the drug needs one fixed before the start. */
  readonly recheckOn?: LocalDate | undefined;
}

export interface PlanStep extends CourseStep {
  /** In the unit the yard measures with. */
  readonly unitsPerDose: number;
  readonly measure: string;
  /** True rate of one dose at the low, best and high weight. */
  readonly perDose: RateAtWeights;
  /** Of a dosing day. */
  readonly perDay: RateAtWeights;
  /** Dose actually measured as a share of the target asked for. */
  readonly shareOfTarget: number | undefined;
}

export interface RateAtWeights {
  readonly lowMgPerKg: number;
  readonly bestMgPerKg: number;
  readonly highMgPerKg: number;
}

export interface CoursePlan {
  readonly drugKey: string;
  readonly presentationKey: string;
  readonly steps: readonly PlanStep[];
  readonly doses: readonly ScheduledDose[];
  readonly totalMg: number;
  readonly totalUnits: number;
  readonly packs: number | undefined;
  readonly weight: WeightInForce | undefined;
  readonly reviewOn: LocalDate;
  readonly lastDoseOn: LocalDate;
  readonly monitoring: readonly MonitoringTask[];
  readonly findings: readonly Finding[];
}

const PLURAL: Readonly<Record<Presentation["unit"], string>> = {
  sachet: "sachets",
  "paste division": "paste divisions",
  ml: "ml",
  "g of paste": "g of paste",
  tablet: "tablets",
  "kg mark": "kg on the syringe",
  "g of powder": "g of powder",
  spoon: "spoons",
};

/** `1.5 sachets`, `5.75 ml`. */
export const measureText = (units: number, presentation: Presentation): string => {
  const amount = Number(units.toFixed(3));
  return `${String(amount)} ${amount === 1 ? presentation.unit : PLURAL[presentation.unit]}`;
};

/** Keeps an exact multiple from falling one step short in the last bit. */
const STEP_SLACK = 1e-9;

/**
 * Units of a presentation for a target, rounded as its label says: down by default, whole sachets
 * up, half tablets to the nearest.
 */
export const roundToMeasure = (
  targetMg: number,
  presentation: Presentation,
  allowSplit = false,
): number => {
  const step = allowSplit
    ? (presentation.splitStep ?? presentation.smallestStep)
    : presentation.smallestStep;
  const exact = targetMg / presentation.mgPerUnit / step;
  const steps =
    presentation.rounding === "up"
      ? Math.ceil(exact - STEP_SLACK)
      : presentation.rounding === "nearest"
        ? Math.round(exact)
        : Math.floor(exact + STEP_SLACK);
  return steps * step;
};

/** Units printed on the label for this weight, where the label doses by a table. */
export const bandUnits = (
  drug: Drug,
  presentationKey: string,
  weightKg: number,
): number | undefined => {
  const rows = drug.bands.filter((band) => band.presentationKey === presentationKey);
  return rows.find(
    (band, index) =>
      (weightKg > band.fromKg || (index === 0 && weightKg === band.fromKg)) &&
      weightKg <= band.toKg,
  )?.units;
};

const ratesAt = (mg: number, weight: WeightInForce | undefined): RateAtWeights => ({
  lowMgPerKg: weight === undefined ? Number.NaN : mg / weight.lowKg,
  bestMgPerKg: weight === undefined ? Number.NaN : mg / weight.weightKg,
  highMgPerKg: weight === undefined ? Number.NaN : mg / weight.highKg,
});

const resolveMg = (
  step: RequestedStep,
  drug: Drug,
  presentation: Presentation,
  weight: WeightInForce | undefined,
  allowSplit: boolean,
): number => {
  if (step.doseMg !== undefined) return step.doseMg;
  if (step.targetMgPerKg === undefined || weight === undefined) return 0;
  const target = step.targetMgPerKg * weight.weightKg;
  const units =
    presentation.rounding === "up" && drug.bands.length > 0
      ? (bandUnits(drug, presentation.key, weight.weightKg) ??
        roundToMeasure(target, presentation, allowSplit))
      : roundToMeasure(target, presentation, allowSplit);
  return units * presentation.mgPerUnit;
};

/** A dose this far from a measurable amount is told to the vet. Source: house rule. */
const MEASURE_TOLERANCE = 0.01;
/** Rounding down below this share of the target offers a finer presentation. Source: house rule. */
const FINER_BELOW = 0.9;

const measureFindings = (
  step: PlanStep,
  index: number,
  drug: Drug,
  presentation: Presentation,
  jurisdiction: MedicationContext["jurisdiction"],
): readonly Finding[] => {
  const field = `/steps/${String(index)}/doseMg`;
  const fine = presentation.splitStep ?? presentation.smallestStep;
  const nearestMg = Math.round(step.unitsPerDose / fine) * fine * presentation.mgPerUnit;
  const findings: Finding[] = [];
  if (step.doseMg <= 0)
    return [
      found(
        "measurable",
        "block",
        `The smallest amount of ${presentation.name} is more than this dose.`,
        RULE.minimumUnits,
        field,
      ),
    ];
  if (Math.abs(nearestMg - step.doseMg) > MEASURE_TOLERANCE * step.doseMg)
    findings.push(
      found(
        "measurable",
        "warn",
        `${step.measure} cannot be measured with ${presentation.name}; steps of ${measureText(fine, presentation)} can.`,
        presentation.source,
        field,
      ),
    );
  if (step.shareOfTarget !== undefined && step.shareOfTarget < FINER_BELOW) {
    const finer = drug.presentations.filter(
      (other) =>
        other.jurisdictions.includes(jurisdiction) &&
        other.smallestStep * other.mgPerUnit < presentation.smallestStep * presentation.mgPerUnit,
    );
    findings.push(
      found(
        "finer-presentation",
        "note",
        `Rounding leaves ${(100 * step.shareOfTarget).toFixed(0)} % of the target${
          finer.length === 0 ? "" : `; finer: ${finer.map((other) => other.name).join(", ")}`
        }.`,
        RULE.minimumUnits,
        field,
      ),
    );
  }
  return findings;
};

/** Steps with their doses fixed in milligrams, ready to be a course. */
export const courseSteps = (plan: CoursePlan): readonly CourseStep[] =>
  plan.steps.map(({ fromDay, toDay, doseMg, timesLocal, everyDays }) => ({
    fromDay,
    toDay,
    doseMg,
    timesLocal,
    everyDays,
  }));

/**
 * Turns what the vet asks for into what a yard measures: units per dose, the true rate at the low,
 * best and high weight, the calendar, the amount to dispense, reviews and blood tests.
 *
 * It judges nothing but the measuring; the limits are asked of `judgeCourse`.
 * @returns undefined when the drug or its presentation is not in the formulary.
 */
export const buildCourse = (
  request: CourseRequest,
  context: MedicationContext,
): CoursePlan | undefined => {
  const drug = drugOf(request.drugKey);
  const presentation =
    drug === undefined ? undefined : presentationOf(drug, request.presentationKey);
  if (drug === undefined || presentation === undefined) return undefined;
  const weight = weightInForce(context);
  const steps = request.steps.map((step): PlanStep => {
    const doseMg = resolveMg(step, drug, presentation, weight, request.allowSplit === true);
    const unitsPerDose = doseMg / presentation.mgPerUnit;
    const target =
      step.targetMgPerKg === undefined || weight === undefined
        ? undefined
        : step.targetMgPerKg * weight.weightKg;
    return {
      fromDay: step.fromDay,
      toDay: step.toDay,
      timesLocal: step.timesLocal,
      everyDays: step.everyDays,
      doseMg,
      unitsPerDose,
      measure: measureText(unitsPerDose, presentation),
      perDose: ratesAt(doseMg, weight),
      perDay: ratesAt(doseMg * step.timesLocal.length, weight),
      shareOfTarget: target === undefined || target <= 0 ? undefined : doseMg / target,
    };
  });
  const doses = scheduledDoses({
    steps,
    startOn: request.startOn,
    zone: context.zone,
    shifts: request.shifts,
  });
  const totalMg = doses.reduce((sum, dose) => sum + dose.doseMg, 0);
  const totalUnits = totalMg / presentation.mgPerUnit;
  return {
    drugKey: drug.key,
    presentationKey: presentation.key,
    steps,
    doses,
    totalMg,
    totalUnits,
    packs:
      presentation.unitsPerPack === undefined
        ? undefined
        : Math.ceil(totalUnits / presentation.unitsPerPack - STEP_SLACK),
    weight,
    reviewOn: firstReviewOn(request, drug, context),
    lastDoseOn: doses.at(-1)?.on ?? addDays(request.startOn, Math.max(0, lastDayOf(steps) - 1)),
    monitoring: monitoringTasks({
      drugKey: drug.key,
      startOn: request.startOn,
      lastDay: Math.min(lastDayOf(steps), MAX_PLAN_DAYS),
    }),
    findings: steps.flatMap((step, index) =>
      measureFindings(step, index, drug, presentation, context.jurisdiction),
    ),
  };
};

/** One line on a plan's heaviest day for a list. */
export const heaviestDayText = (plan: CoursePlan): string => {
  const rate = Math.max(...plan.steps.map((step) => step.perDay.bestMgPerKg));
  return `${doseRateText(rate)} on the heaviest step`;
};
