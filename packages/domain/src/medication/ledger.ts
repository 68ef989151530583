import {
  daysBetween,
  localDateOf,
  MS_PER_DAY,
  MS_PER_HOUR,
  type InstantMs,
} from "../time/index.ts";
import { limitsFor } from "./ceilings.ts";
import { counts, mergeDoseRecords, type PlacedDose } from "./counted-doses.ts";
import { historyToCount, isOpen, placeMoiety, scopeOf } from "./course-facts.ts";
import { drugOf } from "./formulary/index.ts";
import { missedInARow, slotsOf, type Slot } from "./slots.ts";
import type { DoseEvent, MedicationContext } from "./types.ts";
import { weightInForce } from "./weight.ts";

/** What the animal has on board of one active substance, over every product, route and person. */
export interface MoietyTotals {
  readonly moiety: string;
  readonly last24hMg: number;
  readonly last48hMg: number;
  readonly last14dMg: number;
  readonly last24hMgPerKg: number | undefined;
  readonly last48hMgPerKg: number | undefined;
  /** Distinct local days with a dose in the last 14. */
  readonly treatmentDays14: number;
  /** Calendar days since the first dose of this run, counting that day as 1. */
  readonly courseDay: number;
  readonly lastDoseAtMs: InstantMs;
  /** Sum of the last 24 h (48 h for ponies on bute) as a share of the limit in force. */
  readonly shareOfLimit: number | undefined;
}

export interface Ledger {
  readonly totals: readonly MoietyTotals[];
  readonly nextDue: readonly Slot[];
  /** Past their time by more than an hour and still open to be given. */
  readonly late: readonly Slot[];
  /** Courses with two or more doses missed in a row: the vet is told. Source: house rule. */
  readonly missedTwice: readonly { readonly courseId: string; readonly doses: number }[];
  readonly possibleDuplicates: readonly DoseEvent[];
}

/** Misses in a row that go to the vet. Source: house rule. */
export const TELL_VET_AFTER_MISSES = 2;
const LATE_AFTER_MS = MS_PER_HOUR;

const totalsOf = (placed: readonly PlacedDose[], context: MedicationContext): MoietyTotals => {
  const { atMs } = context;
  const weightKg = weightInForce(context)?.weightKg;
  const sumSince = (ms: number): number =>
    placed
      .filter((dose) => dose.atMs > atMs - ms && dose.atMs <= atMs)
      .reduce((sum, dose) => sum + dose.moietyMg, 0);
  const recent = placed.filter((dose) => dose.atMs > atMs - 14 * MS_PER_DAY);
  const last = placed.at(-1);
  const shares =
    weightKg === undefined
      ? []
      : [24, 48].flatMap((hours) => {
          const opener = placed.find((dose) => dose.atMs > atMs - hours * MS_PER_HOUR);
          if (opener === undefined) return [];
          const sumMg = sumSince(hours * MS_PER_HOUR);
          return limitsFor(opener, scopeOf(context))
            .filter((limit) => limit.windowHours === hours)
            .map((limit) =>
              Math.max(
                limit.mgPerKg === undefined ? 0 : sumMg / weightKg / limit.mgPerKg,
                limit.absoluteMg === undefined ? 0 : sumMg / limit.absoluteMg,
              ),
            );
        });
  return {
    moiety: last?.moiety ?? "",
    last24hMg: sumSince(MS_PER_DAY),
    last48hMg: sumSince(2 * MS_PER_DAY),
    last14dMg: sumSince(14 * MS_PER_DAY),
    last24hMgPerKg: weightKg === undefined ? undefined : sumSince(MS_PER_DAY) / weightKg,
    last48hMgPerKg: weightKg === undefined ? undefined : sumSince(2 * MS_PER_DAY) / weightKg,
    treatmentDays14: new Set(recent.map((dose) => dose.day)).size,
    courseDay: last?.courseDay ?? 0,
    lastDoseAtMs: last?.atMs ?? 0,
    shareOfLimit: shares.length === 0 ? undefined : Math.max(...shares),
  };
};

/**
 * Where the animal stands at the clock: totals per active substance, the next dose of each open
 * course, late doses, runs of missed doses and records that may be the same dose twice.
 */
export const ledger = (context: MedicationContext): Ledger => {
  const history = historyToCount(context).filter((dose) => dose.atMs <= context.atMs);
  const recent = history.filter((dose) => dose.atMs > context.atMs - 14 * MS_PER_DAY);
  const moieties = new Set(recent.map((dose) => drugOf(dose.drugKey)?.moiety ?? dose.drugKey));
  const open = context.courses.filter(isOpen);
  const perCourse = open.map((course) => {
    const today = daysBetween(course.startOn, localDateOf(context.atMs, course.zone)) + 1;
    const lookBack = Math.max(2, ...course.steps.map((step) => 3 * step.everyDays));
    const slots = slotsOf(course, Math.max(1, today - lookBack), today + lookBack);
    const done = new Set(
      context.doses
        .filter((dose) => dose.courseId === course.id && dose.scheduledAtMs !== undefined)
        .map((dose) => dose.scheduledAtMs),
    );
    return { course, slots, waiting: slots.filter((slot) => !done.has(slot.atMs)) };
  });
  return {
    totals: [...moieties].map((moiety) =>
      totalsOf(placeMoiety(history, moiety, context.courses, context), context),
    ),
    nextDue: perCourse
      .flatMap(({ waiting }) => waiting.find((slot) => slot.lateUntilMs > context.atMs) ?? [])
      .toSorted((a, b) => a.atMs - b.atMs),
    late: perCourse.flatMap(({ waiting }) =>
      waiting.filter(
        (slot) => slot.atMs + LATE_AFTER_MS < context.atMs && slot.lateUntilMs > context.atMs,
      ),
    ),
    missedTwice: perCourse.flatMap(({ course, slots }) => {
      const doses = missedInARow(course, context.doses, slots, context.atMs);
      return doses >= TELL_VET_AFTER_MISSES ? [{ courseId: course.id, doses }] : [];
    }),
    possibleDuplicates: mergeDoseRecords(context.doses.filter(counts)).possibleDuplicates,
  };
};
