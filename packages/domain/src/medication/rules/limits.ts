import type { Finding } from "../../evidence/index.ts";
import { MS_PER_DAY } from "../../time/index.ts";
import { judgeWindows, looserSettings, windowsInQuestion } from "../ceilings.ts";
import { inWindow, SERIES_GAP_DAYS, type PlacedDose } from "../counted-doses.ts";
import { placeMoiety, scopeOf } from "../course-facts.ts";
import { doseRateText, found } from "../finding.ts";
import { RULE } from "../formulary/sources.ts";
import type { Drug } from "../formulary/types.ts";
import type { MedicationContext } from "../types.ts";
import type { CourseFacts } from "./facts.ts";

/** Days clear of the substance before a vet may call it a fresh start. Source: label, effect of 3 days. */
export const RESTART_CLEAR_DAYS = 3;

/** Longest runs of treatment. `placed` is one active substance in order of time. */
export const lengthFindings = (
  drug: Drug,
  placed: readonly PlacedDose[],
  context: MedicationContext,
): readonly Finding[] =>
  drug.courseCaps
    .filter((cap) => cap.jurisdictions.includes(context.jurisdiction))
    .flatMap((cap) => {
      const mine = placed.filter((dose) => dose.subject);
      const top = mine.reduce((most, dose) => {
        if (cap.routes === undefined) return Math.max(most, dose.treatmentDay);
        if (!cap.routes.includes(dose.route)) return most;
        const days = new Set(
          placed
            .filter(
              (other) =>
                other.series === dose.series &&
                other.atMs <= dose.atMs &&
                cap.routes?.includes(other.route) === true,
            )
            .map((other) => other.day),
        );
        return Math.max(most, days.size);
      }, 0);
      if (top === 0) return [];
      return [
        found(
          "course-length",
          top > cap.treatmentDays ? "block" : "pass",
          `Day ${String(top)} of treatment; at most ${String(cap.treatmentDays)}${
            cap.routes === undefined ? "" : ` by ${cap.routes.join(" or ")}`
          }.`,
          cap.source,
        ),
      ];
    });

/** Soft limits: the vet's written reason is asked above them. */
export const softFindings = (
  drug: Drug,
  placed: readonly PlacedDose[],
  weightKg: number,
): readonly Finding[] =>
  drug.softCeilings.flatMap((soft) => {
    let top = 0;
    placed.forEach((opener, index) => {
      let sumMg = 0;
      let touched = false;
      for (let later = index; later < placed.length; later += 1) {
        const dose = placed[later];
        if (dose === undefined || dose.atMs - opener.atMs >= 2 * MS_PER_DAY) break;
        if (!inWindow(opener, dose, 24)) continue;
        sumMg += dose.moietyMg;
        touched ||= dose.subject;
      }
      if (touched) top = Math.max(top, sumMg / weightKg);
    });
    return top > soft.mgPerKg
      ? [
          found(
            soft.id.replace("/", "-"),
            "warn",
            `${doseRateText(top)} in 24 h: ${soft.why}.`,
            soft.source,
          ),
        ]
      : [];
  });

const usMaintenance = (
  drug: Drug,
  placed: readonly PlacedDose[],
  context: MedicationContext,
  weightKg: number,
): readonly Finding[] => {
  if (drug.moiety !== "phenylbutazone" || context.jurisdiction !== "US") return [];
  const days = new Map<number, number>();
  for (const dose of placed)
    if (dose.subject && dose.courseDay > 2)
      days.set(dose.day, (days.get(dose.day) ?? 0) + dose.moietyMg);
  const top = Math.max(0, ...days.values()) / weightKg;
  return top > 4.41
    ? [
        found(
          "us-after-48-h",
          "warn",
          `${doseRateText(top)} a day after the first 48 h: the label asks for the lowest effective level.`,
          RULE.pbzUsMaintain,
        ),
      ]
    : [];
};

const restartFindings = (facts: CourseFacts, placed: readonly PlacedDose[]): readonly Finding[] => {
  const firstIndex = placed.findIndex((dose) => dose.subject);
  const first = placed[firstIndex];
  const before = placed[firstIndex - 1];
  if (facts.request.restartsSeries !== true || first === undefined || before === undefined)
    return [];
  const gap = first.day - before.day;
  if (gap > SERIES_GAP_DAYS) return [];
  const clear = gap - 1;
  return [
    found(
      "fresh-start",
      clear < RESTART_CLEAR_DAYS ? "block" : "warn",
      `${String(clear)} clear days since the last dose; a fresh start, with its loading, within ${String(SERIES_GAP_DAYS)} days needs at least ${String(RESTART_CLEAR_DAYS)} and the vet's written reason.`,
      RULE.review,
      "/restartsSeries",
    ),
  ];
};

/** Milligrams per kilogram over time, and length of treatment. */
export const limitFindings = (facts: CourseFacts): readonly Finding[] => {
  const { drug, context, request, plan } = facts;
  const { weight } = plan;
  if (weight === undefined) return [];
  const placed = placeMoiety(
    facts.doses,
    drug.moiety,
    [...context.courses, { ...request, id: request.id ?? "" }],
    context,
  );
  const windows = windowsInQuestion(placed, scopeOf(context));
  const ignored = looserSettings(context.settings);
  return [
    ...judgeWindows(windows, weight.weightKg, weight.lowKg),
    ...softFindings(drug, placed, weight.weightKg),
    ...usMaintenance(drug, placed, context, weight.weightKg),
    ...lengthFindings(drug, placed, context),
    ...restartFindings(facts, placed),
    ...(ignored.length === 0
      ? []
      : [
          found(
            "setting-ignored",
            "note",
            `A practice may only tighten a limit; ignored: ${ignored.join(", ")}.`,
            RULE.pbzGeneral,
          ),
        ]),
  ];
};
