import type { CourseView, Horse } from "@heelward/contracts";
import {
  bandUnits,
  type Drug,
  type Presentation,
  roundToMeasure,
} from "@heelward/domain/medication";
import type { Body } from "../../api/operations.ts";
import { typedNumber, typedText } from "../../components/use-draft.ts";

/** One step while it is typed; figures are text. `aim` is a rate that sets the amount. */
export interface StepDraft {
  readonly key: number;
  readonly fromDay: string;
  readonly toDay: string;
  readonly aim: string;
  readonly units: string;
  readonly times: readonly string[];
  readonly everyDays: string;
}

export interface CourseDraft {
  readonly drugKey: string;
  readonly presentationKey: string;
  readonly route: string;
  readonly startOn: string;
  readonly reviewOn: string;
  readonly instructions: string;
  readonly reason: string;
  readonly continuesFromDay: string;
  readonly restartsSeries: boolean;
  readonly vetSetsSchedule: boolean;
  readonly hydrationRecorded: boolean;
  readonly recheckOn: string;
  readonly steps: readonly StepDraft[];
}

type Content = Body<"judgeCourseDraft">;

/** Where a label sets no last day, a draft copies this many days; the vet reviews before. */
const COPIED_DAYS = 14;
const TIMES: Readonly<Record<number, readonly string[]>> = {
  1: ["08:00"],
  2: ["08:00", "20:00"],
  3: ["07:00", "14:00", "21:00"],
  4: ["06:00", "12:00", "18:00", "22:00"],
};

let lastKey = 0;

/** An empty step that follows the one before it. */
export const nextStep = (before?: StepDraft): StepDraft => {
  lastKey += 1;
  const from = before === undefined ? 1 : (typedNumber(before.toDay) ?? 0) + 1;
  return {
    key: lastKey,
    fromDay: String(from),
    toDay: String(from + 4),
    aim: "",
    units: before?.units ?? "",
    times: before?.times ?? ["08:00", "20:00"],
    everyDays: "1",
  };
};

export const emptyDraft = (startOn: string): CourseDraft => ({
  drugKey: "",
  presentationKey: "",
  route: "",
  startOn,
  reviewOn: "",
  instructions: "",
  reason: "",
  continuesFromDay: "",
  restartsSeries: false,
  vetSetsSchedule: false,
  hydrationRecorded: false,
  recheckOn: "",
  steps: [nextStep()],
});

/** A course taken up again on a day: one that was to start before it starts on it. */
export const draftOf = (
  course: CourseView,
  presentation: Presentation | undefined,
  today: string,
): CourseDraft => ({
  drugKey: course.drugKey,
  presentationKey: course.presentationKey,
  route: course.route,
  startOn: course.startOn < today ? today : course.startOn,
  // A review before the new start cannot be meant: the rules ask for one of their own.
  reviewOn: course.reviewOn === null || course.reviewOn < today ? "" : course.reviewOn,
  instructions: course.instructions ?? "",
  reason: course.reason ?? "",
  continuesFromDay: course.continuesFromDay === null ? "" : String(course.continuesFromDay),
  restartsSeries: course.restartsSeries,
  vetSetsSchedule: course.vetSetsSchedule,
  hydrationRecorded: course.hydrationRecorded,
  recheckOn: course.recheckOn ?? "",
  steps: course.steps.map((step) => ({
    ...nextStep(),
    fromDay: String(step.fromDay),
    toDay: String(step.toDay),
    units: String(step.doseMg / (presentation?.mgPerUnit ?? 1)),
    times: step.timesLocal,
    everyDays: String(step.everyDays),
  })),
});

/** The measurable amount nearest to an aim, by the presentation's own rounding. */
export const unitsForAim = (
  aimMgPerKg: number,
  drug: Drug,
  presentation: Presentation,
  weightKg: number,
): number =>
  (presentation.rounding === "up" && drug.bands.length > 0
    ? bandUnits(drug, presentation.key, weightKg)
    : undefined) ?? roundToMeasure(aimMgPerKg * weightKg, presentation);

/** The label's own plan for this animal as steps; empty where the label gives none. */
export const labelSteps = (
  drug: Drug,
  presentation: Presentation,
  horse: Pick<Horse, "type" | "latestWeighing">,
  jurisdiction: string,
): readonly StepDraft[] => {
  const weightKg = horse.latestWeighing?.weightKg;
  if (weightKg === undefined) return [];
  return drug.phases
    .filter(
      (phase) =>
        phase.types.includes(horse.type) &&
        phase.jurisdictions.some((one) => one === jurisdiction) &&
        phase.presentationKeys.includes(presentation.key),
    )
    .toSorted((a, b) => a.fromDay - b.fromDay)
    .map((phase) => ({
      ...nextStep(),
      fromDay: String(phase.fromDay),
      toDay: String(Math.min(phase.toDay, Math.max(phase.fromDay, COPIED_DAYS))),
      aim: String(phase.mgPerKg),
      units: String(unitsForAim(phase.mgPerKg, drug, presentation, weightKg)),
      times: TIMES[phase.timesPerDay] ?? ["08:00"],
      everyDays: String(phase.everyDays[0] ?? 1),
    }));
};

/** What is sent to be checked or drafted; undefined while something needed is missing. */
export const contentOf = (
  draft: CourseDraft,
  presentation: Presentation | undefined,
): Content | undefined => {
  if (presentation === undefined || draft.route === "" || draft.startOn === "") return undefined;
  const steps = draft.steps.map((step) => ({
    fromDay: typedNumber(step.fromDay) ?? 0,
    toDay: typedNumber(step.toDay) ?? 0,
    doseMg: Number(((typedNumber(step.units) ?? 0) * presentation.mgPerUnit).toFixed(6)),
    timesLocal: step.times.filter((time) => time !== ""),
    everyDays: typedNumber(step.everyDays) ?? 0,
  }));
  const isWhole = steps.every(
    (step) =>
      step.fromDay >= 1 &&
      step.toDay >= step.fromDay &&
      step.doseMg > 0 &&
      step.timesLocal.length > 0 &&
      step.everyDays >= 1,
  );
  if (!isWhole || steps.length === 0) return undefined;
  return {
    drugKey: draft.drugKey,
    presentationKey: draft.presentationKey,
    route: draft.route as Content["route"],
    steps,
    startOn: draft.startOn,
    instructions: typedText(draft.instructions) ?? null,
    reviewOn: draft.reviewOn === "" ? null : draft.reviewOn,
    continuesFromDay: typedNumber(draft.continuesFromDay) ?? null,
    restartsSeries: draft.restartsSeries,
    vetSetsSchedule: draft.vetSetsSchedule,
    hydrationRecorded: draft.hydrationRecorded,
    recheckOn: draft.recheckOn === "" ? null : draft.recheckOn,
  };
};
