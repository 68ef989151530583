import type { Setting } from "../evidence/index.ts";
import { TRIM_SOURCES } from "./sources.ts";
import type { Foot, FootPlan } from "./trim-types.ts";

/** Comfort as seen by the person at the horse. Higher is worse in each. */
export interface Comfort {
  readonly obelGrade?: number;
  readonly weightShiftsPerMinute?: number;
  /** Five-sign score, 0 to 12. */
  readonly fiveSignScore?: number;
}

/** What the farrier did to one foot. */
export interface FootAsDone {
  readonly foot: Foot;
  readonly toeBackMm?: number;
  readonly breakoverBeforeMm?: number;
  readonly breakoverAfterMm?: number;
  readonly heelRemovedMm?: number;
  /** From a film after fitting. */
  readonly palmarAngleDegrees?: number;
  readonly soleDepthTipMm?: number;
  readonly wedgeDegrees?: number;
  readonly soleTouched: boolean;
  readonly shoe: string;
  readonly supportFill: string;
  readonly fixing: string;
  readonly comfortBefore?: Comfort;
  readonly comfortAfter?: Comfort;
}

export interface AsDoneTolerances {
  readonly breakoverMm: number;
  readonly toeBackMm: number;
  readonly heelMm: number;
  readonly angleDegrees: number;
  readonly wedgeDegrees: number;
}

export const AS_DONE_TOLERANCES: Setting<AsDoneTolerances> = {
  key: "trim.as-done-tolerances",
  value: { breakoverMm: 2, toeBackMm: 2, heelMm: 1, angleDegrees: 2, wedgeDegrees: 0.5 },
  unit: "mm and degrees",
  source: TRIM_SOURCES.tolerances,
  since: "2025-10-15",
  change: "free",
};

export interface AsDoneRow {
  readonly quantity:
    | "toe back"
    | "breakover"
    | "heel removed"
    | "palmar angle"
    | "sole under the tip"
    | "heel raise";
  readonly unit: "mm" | "degrees";
  readonly planned: number | { readonly low: number; readonly high: number };
  readonly done: number | null;
  /** Done less planned; distance outside a range. Null when it was not recorded. */
  readonly difference: number | null;
  readonly tolerance: number;
  readonly within: boolean;
}

export interface AsDoneComparison {
  readonly foot: Foot;
  readonly rows: readonly AsDoneRow[];
  /** Plain sentences, one for each departure. */
  readonly deviations: readonly string[];
  readonly worse: boolean;
  /** A departure or a worse horse: the note to the vet is drafted at once. */
  readonly needsNote: boolean;
  readonly wedgeRemoval: { readonly required: boolean; readonly detail: string };
}

const ROUNDING = 1e-9;

const rose = (before: number | undefined, after: number | undefined): boolean =>
  before !== undefined && after !== undefined && after > before;

/** True when any sign of pain that was recorded on both sides got worse. */
export const isWorse = (before: Comfort | undefined, after: Comfort | undefined): boolean =>
  rose(before?.obelGrade, after?.obelGrade) ||
  rose(before?.weightShiftsPerMinute, after?.weightShiftsPerMinute) ||
  rose(before?.fiveSignScore, after?.fiveSignScore);

/** The plan beside what was done, in mm and degrees. */
export const compareAsDone = (
  plan: FootPlan,
  asDone: FootAsDone,
  tolerances: AsDoneTolerances = AS_DONE_TOLERANCES.value,
): AsDoneComparison => {
  if (plan.foot !== asDone.foot)
    throw new RangeError(`plan for ${plan.foot} compared with work on ${asDone.foot}`);
  const exact = (
    quantity: AsDoneRow["quantity"],
    unit: AsDoneRow["unit"],
    planned: number,
    done: number | undefined,
    tolerance: number,
  ): AsDoneRow => {
    const difference = done === undefined ? null : done - planned;
    return {
      quantity,
      unit,
      planned,
      done: done ?? null,
      difference,
      tolerance,
      within: difference !== null && Math.abs(difference) <= tolerance + ROUNDING,
    };
  };
  const band = plan.palmarAngleTargetDegrees;
  const angle = asDone.palmarAngleDegrees;
  const outside =
    angle === undefined ? 0 : angle < band.low ? angle - band.low : Math.max(0, angle - band.high);
  const sole = asDone.soleDepthTipMm;
  const rows: readonly AsDoneRow[] = [
    exact(
      "breakover",
      "mm",
      plan.breakoverFromP3TipMm,
      asDone.breakoverAfterMm,
      tolerances.breakoverMm,
    ),
    exact("heel removed", "mm", plan.heelRemoveMm, asDone.heelRemovedMm, tolerances.heelMm),
    ...(asDone.toeBackMm === undefined
      ? []
      : [exact("toe back", "mm", plan.toeBackMm, asDone.toeBackMm, tolerances.toeBackMm)]),
    // The angle and the sole need a film after fitting; without one there is nothing to compare.
    ...(angle === undefined
      ? []
      : [
          {
            quantity: "palmar angle" as const,
            unit: "degrees" as const,
            planned: band,
            done: angle,
            difference: outside,
            tolerance: tolerances.angleDegrees,
            within: Math.abs(outside) <= tolerances.angleDegrees + ROUNDING,
          },
        ]),
    ...(sole === undefined
      ? []
      : [
          {
            quantity: "sole under the tip" as const,
            unit: "mm" as const,
            planned: plan.soleMinMm,
            done: sole,
            difference: sole - plan.soleMinMm,
            tolerance: 0,
            within: sole >= plan.soleMinMm - ROUNDING,
          },
        ]),
    exact(
      "heel raise",
      "degrees",
      plan.wedgeDegrees,
      asDone.wedgeDegrees ?? 0,
      tolerances.wedgeDegrees,
    ),
  ];
  const say = (value: AsDoneRow["planned"]) =>
    typeof value === "number" ? value.toFixed(1) : `${value.low} to ${value.high}`;
  const mark = (unit: AsDoneRow["unit"]) => (unit === "mm" ? " mm" : "°");
  const used = [
    ["shoe", plan.shoe, asDone.shoe],
    ["support", plan.supportFill, asDone.supportFill],
    ["fixing", plan.fixing, asDone.fixing],
  ] as const;
  const deviations = [
    ...rows
      .filter((row) => !row.within)
      .map((row) =>
        row.done === null
          ? `${plan.foot} ${row.quantity}: planned ${say(row.planned)}${mark(row.unit)}, not recorded.`
          : `${plan.foot} ${row.quantity}: planned ${say(row.planned)}${mark(row.unit)}, done ${row.done.toFixed(1)}${mark(row.unit)}.`,
      ),
    ...used
      .filter(([, planned, done]) => planned !== done)
      .map(([what, planned, done]) => `${plan.foot} ${what}: planned ${planned}, used ${done}.`),
    ...(asDone.soleTouched ? [`${plan.foot}: sole was taken off.`] : []),
  ];
  const worse = isWorse(asDone.comfortBefore, asDone.comfortAfter);
  const wedge = asDone.wedgeDegrees ?? 0;
  return {
    foot: plan.foot,
    rows,
    deviations,
    worse,
    needsNote: deviations.length > 0 || worse,
    wedgeRemoval:
      wedge > 0 && worse
        ? {
            required: true,
            detail: `Worse after a ${wedge}° heel raise on ${plan.foot}: take it out now and tell the vet.`,
          }
        : {
            required: false,
            detail:
              wedge > 0
                ? "Heel raise in place: any worsening means it comes out at once."
                : "No heel raise.",
          },
  };
};
