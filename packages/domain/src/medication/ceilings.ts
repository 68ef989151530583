import type { Finding } from "../evidence/index.ts";
import { dayText, MS_PER_DAY, MS_PER_HOUR } from "../time/index.ts";
import { inWindow, type PlacedDose } from "./counted-doses.ts";
import { doseRateText, found, mgText } from "./finding.ts";
import { drugOf, FORMULARY } from "./formulary/index.ts";
import type { Ceiling } from "./formulary/types.ts";
import type { Animal, Jurisdiction, MedicationSettings } from "./types.ts";

/**
 * Slack for label unit sizes: 2 g for 450 kg is 4.44 mg/kg against a printed 4.4.
 * Source: derived from the labels' own worked examples. Never applied to absolute limits.
 */
export const CEILING_TOLERANCE = 1.015;
/** From here on the vet is told how close the dose is. Source: house rule. */
export const NEAR_CEILING = 0.9;
/** Keeps a sum that equals the limit from failing in the last bit. */
const ROUNDING_SLACK = 1e-9;

/** What decides which limits hold. */
export interface CeilingScope {
  readonly animal: Animal;
  readonly ageYears: number | undefined;
  readonly jurisdiction: Jurisdiction;
  readonly settings?: MedicationSettings | undefined;
}

const tightened = (ceiling: Ceiling, settings: MedicationSettings | undefined): Ceiling => {
  const own = settings?.ceilings?.find((entry) => entry.ceilingId === ceiling.id);
  if (own === undefined) return ceiling;
  return {
    ...ceiling,
    mgPerKg:
      ceiling.mgPerKg === undefined || own.mgPerKg === undefined
        ? ceiling.mgPerKg
        : Math.min(ceiling.mgPerKg, own.mgPerKg),
    absoluteMg:
      own.absoluteMg === undefined
        ? ceiling.absoluteMg
        : Math.min(ceiling.absoluteMg ?? Number.POSITIVE_INFINITY, own.absoluteMg),
  };
};

/** Settings that would loosen a hard limit. They have no effect; this says so. */
export const looserSettings = (settings: MedicationSettings | undefined): readonly string[] =>
  (settings?.ceilings ?? [])
    .filter((own) => {
      const ceiling = FORMULARY.flatMap((drug) => drug.ceilings).find(
        (entry) => entry.id === own.ceilingId,
      );
      return (
        ceiling === undefined ||
        (own.mgPerKg !== undefined && own.mgPerKg > (ceiling.mgPerKg ?? 0)) ||
        (own.absoluteMg !== undefined &&
          ceiling.absoluteMg !== undefined &&
          own.absoluteMg > ceiling.absoluteMg)
      );
    })
    .map((own) => own.ceilingId);

/** The limits on a window that opens with this dose. */
export const limitsFor = (dose: PlacedDose, scope: CeilingScope): readonly Ceiling[] =>
  (drugOf(dose.drugKey)?.ceilings ?? [])
    .filter(
      (ceiling) =>
        ceiling.jurisdictions.includes(scope.jurisdiction) &&
        dose.courseDay >= ceiling.fromDay &&
        dose.courseDay <= ceiling.toDay &&
        (ceiling.types === undefined || ceiling.types.includes(scope.animal.type)) &&
        (ceiling.minAgeYears === undefined ||
          (scope.ageYears !== undefined && scope.ageYears >= ceiling.minAgeYears)) &&
        (ceiling.routes === undefined || ceiling.routes.includes(dose.route)) &&
        (ceiling.presentationKeys === undefined ||
          (dose.presentationKey !== undefined &&
            ceiling.presentationKeys.includes(dose.presentationKey))) &&
        (ceiling.exceptPresentationKeys === undefined ||
          dose.presentationKey === undefined ||
          !ceiling.exceptPresentationKeys.includes(dose.presentationKey)),
    )
    .map((ceiling) => tightened(ceiling, scope.settings));

/** The doses of one limit window, or of one calendar day, against that limit. */
export interface CheckedWindow {
  readonly kind: "rolling" | "calendar day";
  readonly ceiling: Ceiling;
  readonly opener: PlacedDose;
  readonly sumMg: number;
}

/**
 * Every window that holds at least one dose in question, with every limit on it. A window opens at
 * a dose and takes the limits of the course day of that dose, which is the earliest it touches; a
 * window that opened between doses would hold a part of the same doses under the same limits.
 *
 * `placed` is one active substance in order of time.
 */
export const windowsInQuestion = (
  placed: readonly PlacedDose[],
  scope: CeilingScope,
): readonly CheckedWindow[] => {
  const subjects = placed.filter((dose) => dose.subject);
  const first = subjects[0];
  const last = subjects.at(-1);
  if (first === undefined || last === undefined) return [];
  const near = placed.filter(
    (dose) => dose.atMs > first.atMs - 50 * MS_PER_HOUR && dose.atMs < last.atMs + 50 * MS_PER_HOUR,
  );
  const windows: CheckedWindow[] = [];
  const seenDays = new Set<number>();
  near.forEach((opener, index) => {
    const limits = limitsFor(opener, scope);
    const sums = new Map<number, { sumMg: number; touched: boolean }>();
    for (const ceiling of limits) {
      let entry = sums.get(ceiling.windowHours);
      if (entry === undefined) {
        entry = { sumMg: 0, touched: false };
        for (let later = index; later < near.length; later += 1) {
          const dose = near[later];
          if (dose === undefined || dose.atMs - opener.atMs >= ceiling.windowHours * MS_PER_HOUR)
            break;
          if (!inWindow(opener, dose, ceiling.windowHours)) continue;
          entry.sumMg += dose.moietyMg;
          entry.touched ||= dose.subject;
        }
        sums.set(ceiling.windowHours, entry);
      }
      if (entry.touched) windows.push({ kind: "rolling", ceiling, opener, sumMg: entry.sumMg });
    }
    if (seenDays.has(opener.day)) return;
    seenDays.add(opener.day);
    let sumMg = 0;
    let touched = false;
    for (let later = index; later < near.length; later += 1) {
      const dose = near[later];
      if (dose === undefined || dose.day !== opener.day) break;
      sumMg += dose.moietyMg;
      touched ||= dose.subject;
    }
    if (!touched) return;
    for (const ceiling of limits)
      if (ceiling.windowHours === 24)
        windows.push({ kind: "calendar day", ceiling, opener, sumMg });
  });
  return windows;
};

const testedWeight = (ceiling: Ceiling, weightKg: number): number =>
  ceiling.weightMarkKg === undefined
    ? weightKg
    : Math.ceil(weightKg / ceiling.weightMarkKg - ROUNDING_SLACK) * ceiling.weightMarkKg;

/** The window's sum as a share of its tightest limit at a weight; 1 is exactly the printed limit. */
export const shareOfLimit = (window: CheckedWindow, weightKg: number): number =>
  Math.max(
    window.ceiling.mgPerKg === undefined
      ? 0
      : window.sumMg / testedWeight(window.ceiling, weightKg) / window.ceiling.mgPerKg,
    window.ceiling.absoluteMg === undefined ? 0 : window.sumMg / window.ceiling.absoluteMg,
  );

/** True when the window is over its limit, with {@link CEILING_TOLERANCE} on mg/kg only. */
export const isOver = (window: CheckedWindow, weightKg: number): boolean =>
  (window.ceiling.mgPerKg !== undefined &&
    window.sumMg / testedWeight(window.ceiling, weightKg) >
      window.ceiling.mgPerKg * CEILING_TOLERANCE + ROUNDING_SLACK) ||
  (window.ceiling.absoluteMg !== undefined &&
    window.sumMg > window.ceiling.absoluteMg + ROUNDING_SLACK);

const worst = (windows: readonly CheckedWindow[], weightKg: number): CheckedWindow | undefined => {
  let top: CheckedWindow | undefined;
  for (const window of windows)
    if (top === undefined || shareOfLimit(window, weightKg) > shareOfLimit(top, weightKg))
      top = window;
  return top;
};

const limitText = (ceiling: Ceiling): string =>
  [
    ceiling.mgPerKg === undefined ? undefined : doseRateText(ceiling.mgPerKg),
    ceiling.absoluteMg === undefined ? undefined : mgText(ceiling.absoluteMg),
  ]
    .filter((part) => part !== undefined)
    .join(" and ");

const windowText = (window: CheckedWindow, weightKg: number, day: (index: number) => string) => {
  const when =
    window.kind === "calendar day"
      ? `on ${day(window.opener.day)}`
      : `in ${String(window.ceiling.windowHours)} h from ${day(window.opener.day)}`;
  const share = (100 * shareOfLimit(window, weightKg)).toFixed(0);
  return `${mgText(window.sumMg)} ${when} is ${doseRateText(window.sumMg / weightKg)} at ${weightKg.toFixed(0)} kg, ${share} % of ${limitText(window.ceiling)} (day ${String(window.opener.courseDay)})`;
};

const dateOf = (index: number): string =>
  dayText(new Date(index * MS_PER_DAY).toISOString().slice(0, 10));

/**
 * What the limits say: `block` over a limit at the weight used, `warn` over it at the low end of
 * the weight, `note` from 90 %, else `pass`. One finding for rolling windows, one for calendar days.
 */
export const judgeWindows = (
  windows: readonly CheckedWindow[],
  weightKg: number,
  lowKg: number,
): readonly Finding[] =>
  (["calendar day", "rolling"] as const).flatMap((kind) => {
    const mine = windows.filter((window) => window.kind === kind);
    const over = worst(
      mine.filter((window) => isOver(window, weightKg)),
      weightKg,
    );
    const rule = kind === "rolling" ? "rolling-limit" : "calendar-day-limit";
    if (over !== undefined)
      return [
        found(
          rule,
          "block",
          `${windowText(over, weightKg, dateOf)}: over the limit.`,
          over.ceiling.source,
        ),
      ];
    const overLow = worst(
      mine.filter((window) => isOver(window, lowKg)),
      lowKg,
    );
    if (overLow !== undefined)
      return [
        found(
          `${rule}-low-weight`,
          "warn",
          `If the true weight is ${lowKg.toFixed(0)} kg: ${windowText(overLow, lowKg, dateOf)}. Measure one step less, weigh on a scale, or write why not.`,
          overLow.ceiling.source,
        ),
      ];
    const top = worst(mine, weightKg);
    if (top === undefined) return [];
    return [
      found(
        rule,
        shareOfLimit(top, weightKg) >= NEAR_CEILING ? "note" : "pass",
        `${windowText(top, weightKg, dateOf)}.`,
        top.ceiling.source,
      ),
    ];
  });
