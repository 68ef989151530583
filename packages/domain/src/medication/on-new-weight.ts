import type { Finding } from "../evidence/index.ts";
import { WEIGHT_CHANGE_SETTINGS, weightChange } from "../horse/index.ts";
import { isOver, shareOfLimit, windowsInQuestion, type CheckedWindow } from "./ceilings.ts";
import {
  comingDoses,
  historyToCount,
  isOpen,
  placeMoiety,
  plannedToCount,
  scopeOf,
} from "./course-facts.ts";
import { doseRateText, found } from "./finding.ts";
import { drugOf } from "./formulary/index.ts";
import type { Course, MedicationContext, WeightReading } from "./types.ts";
import { WEIGHT_RULE, weightInForce } from "./weight.ts";

/** What a new weighing means for one open course. */
export interface CourseAtNewWeight {
  readonly courseId: string;
  readonly action: "hold" | "ask" | "keep";
  readonly mgPerKg: number;
  readonly shareOfLimit: number;
  readonly text: string;
}

export interface NewWeightReview {
  readonly courses: readonly CourseAtNewWeight[];
  readonly holdCourseIds: readonly string[];
  /** One line for the vet: what is held, what to look at. */
  readonly line: string;
  readonly findings: readonly Finding[];
}

const rateOver = (window: CheckedWindow | undefined, weightKg: number): number =>
  window === undefined ? 0 : window.sumMg / weightKg;

const changeText = (beforeKg: number, nowKg: number, against: string): string => {
  const percent = weightChange(beforeKg, nowKg).changePercent;
  return `${percent < 0 ? "−" : "+"}${Math.abs(percent).toFixed(1)} % on ${against}`;
};

const judgeCourseAt = (
  course: Course,
  context: MedicationContext,
  weightKg: number,
): CourseAtNewWeight | undefined => {
  const drug = drugOf(course.drugKey);
  const coming = comingDoses(course, context.atMs, context.doses);
  if (drug === undefined || coming.length === 0) return undefined;
  const others = context.courses.filter((other) => isOpen(other) && other.id !== course.id);
  const placed = placeMoiety(
    [
      ...historyToCount(context).filter((dose) => dose.atMs <= context.atMs),
      ...others.flatMap((other) =>
        comingDoses(other, context.atMs, context.doses).map((dose) =>
          plannedToCount(other, dose, false),
        ),
      ),
      ...coming.map((dose) => plannedToCount(course, dose, true)),
    ],
    drug.moiety,
    context.courses,
    context,
  );
  const windows = windowsInQuestion(placed, scopeOf(context));
  let worst: CheckedWindow | undefined;
  for (const window of windows)
    if (worst === undefined || shareOfLimit(window, weightKg) > shareOfLimit(worst, weightKg))
      worst = window;
  const share = worst === undefined ? 0 : shareOfLimit(worst, weightKg);
  const mgPerKg = rateOver(worst, weightKg);
  const crossed = windows.some((window) => isOver(window, weightKg));
  const own = context.settings?.weightChange;
  const { changePercent, band } = weightChange(course.weightKgUsed, weightKg, {
    ...WEIGHT_CHANGE_SETTINGS,
    promptPercent: {
      ...WEIGHT_CHANGE_SETTINGS.promptPercent,
      value: own?.promptPercent ?? WEIGHT_CHANGE_SETTINGS.promptPercent.value,
    },
    holdPercent: {
      ...WEIGHT_CHANGE_SETTINGS.holdPercent,
      value: own?.holdPercent ?? WEIGHT_CHANGE_SETTINGS.holdPercent.value,
    },
  });
  const heldByFall = band === "hold" && changePercent < 0 && drug.classes.includes("NSAID");
  const soft = drug.softCeilings.find((entry) => mgPerKg > entry.mgPerKg);
  const action =
    crossed || heldByFall ? "hold" : band !== "steady" || soft !== undefined ? "ask" : "keep";
  const limit = worst?.ceiling.mgPerKg;
  const against =
    crossed && limit !== undefined
      ? `${doseRateText(mgPerKg)} is over ${doseRateText(limit)}`
      : crossed
        ? "over the absolute limit"
        : doseRateText(mgPerKg);
  return {
    courseId: course.id,
    action,
    mgPerKg,
    shareOfLimit: share,
    text: `${drug.name} ${action === "hold" ? "held" : action === "ask" ? "to be worked out again" : "unchanged"}: ${against}${
      soft === undefined ? "" : `, ${soft.why}`
    }`,
  };
};

/**
 * Re-checks every open course at once the moment a weight is saved. A course whose coming doses
 * cross a hard limit at the new weight is to be held; so is an anti-inflammatory worked out on a
 * weight 10 % higher; 5 % either way asks the vet. Refused readings hold nothing and say so.
 */
export const onNewWeight = (
  context: MedicationContext,
  newWeight: WeightReading,
): NewWeightReview => {
  const before = weightInForce(context);
  const now = { ...context, weights: [...context.weights, newWeight] };
  const weight = weightInForce(now);
  if (weight === undefined || weight.takenAtMs !== newWeight.takenAtMs || !weight.usable)
    return {
      courses: [],
      holdCourseIds: [],
      line: "This weight cannot carry a dose; nothing was recalculated.",
      findings: [
        found(
          "new-weight",
          "note",
          "This way of weighing is not used for doses in this animal, or a newer weight is on file.",
          WEIGHT_RULE,
        ),
      ],
    };
  const courses = context.courses
    .filter(isOpen)
    .flatMap((course) => judgeCourseAt(course, now, weight.weightKg) ?? []);
  const held = courses.filter((course) => course.action === "hold");
  const changed = courses.filter((course) => course.action !== "keep");
  const lastScale = context.weights
    .filter((reading) => reading.method === "scale" && reading.takenAtMs < newWeight.takenAtMs)
    .toSorted((a, b) => b.takenAtMs - a.takenAtMs)[0];
  const changes = [
    lastScale === undefined || lastScale.takenAtMs === before?.takenAtMs
      ? undefined
      : changeText(lastScale.weightKg, weight.weightKg, "the last scale weight"),
    before === undefined
      ? undefined
      : changeText(
          before.weightKg,
          weight.weightKg,
          `${before.weightKg.toFixed(0)} kg by ${before.method}`,
        ),
  ].filter((part) => part !== undefined);
  const change = changes.length === 0 ? "" : ` (${changes.join(", ")})`;
  const line = `${weight.weightKg.toFixed(0)} kg${change}: ${
    changed.length === 0
      ? "every open course stays inside its limits"
      : changed.map((course) => course.text).join("; ")
  }.`;
  return {
    courses,
    holdCourseIds: held.map((course) => course.courseId),
    line,
    findings: courses.map((course) =>
      found(
        "new-weight",
        course.action === "hold" ? "block" : course.action === "ask" ? "warn" : "pass",
        course.text,
        WEIGHT_RULE,
      ),
    ),
  };
};
