import { MS_PER_HOUR, type InstantMs } from "../time/index.ts";
import { drugOf } from "./formulary/index.ts";
import { dayIndexOf, type LocalClock } from "./local-clock.ts";
import type { Course, DoseEvent, Route } from "./types.ts";

/** A dose as the limits see it: in milligrams of the active substance, with its course day. */
export interface CountedDose {
  readonly id: string;
  readonly atMs: InstantMs;
  readonly wallMs: number;
  readonly day: number;
  readonly drugKey: string;
  readonly moiety: string;
  readonly moietyMg: number;
  readonly route: Route;
  readonly presentationKey: string | undefined;
  readonly courseId: string | undefined;
  /** Part of the question being asked, as against history. */
  readonly subject: boolean;
}

/** A dose with its place in the run of treatment with one active substance. */
export interface PlacedDose extends CountedDose {
  readonly series: number;
  /** Calendar days from the first dose of the run, the first being day 1. */
  readonly courseDay: number;
  /** Distinct calendar days of the run with a dose, up to and with this one. */
  readonly treatmentDay: number;
}

/** Days without the substance after which a new run, with its loading, begins. Source: house rule. */
export const SERIES_GAP_DAYS = 14;

/** Given or spat out counts; refused and not given do not. */
export const counts = (event: Pick<DoseEvent, "outcome">): boolean =>
  event.outcome === "given" || event.outcome === "spat out";

/**
 * One record for each planned slot: of several "given" for the same slot the first given is kept
 * and the rest are possible duplicates that a person must settle. They never count twice.
 */
export const mergeDoseRecords = (
  doses: readonly DoseEvent[],
): { readonly kept: readonly DoseEvent[]; readonly possibleDuplicates: readonly DoseEvent[] } => {
  const byCourse = new Map<string, Map<InstantMs, DoseEvent>>();
  let anyTwice = false;
  for (const dose of doses) {
    if (dose.outcome !== "given" || dose.courseId === undefined || dose.scheduledAtMs === undefined)
      continue;
    let slots = byCourse.get(dose.courseId);
    if (slots === undefined) {
      slots = new Map();
      byCourse.set(dose.courseId, slots);
    }
    const first = slots.get(dose.scheduledAtMs);
    anyTwice ||= first !== undefined;
    if (
      first === undefined ||
      dose.givenAtMs < first.givenAtMs ||
      (dose.givenAtMs === first.givenAtMs && dose.id < first.id)
    )
      slots.set(dose.scheduledAtMs, dose);
  }
  if (!anyTwice) return { kept: doses, possibleDuplicates: [] };
  const winnerOf = (dose: DoseEvent): DoseEvent | undefined =>
    dose.outcome === "given" && dose.courseId !== undefined && dose.scheduledAtMs !== undefined
      ? byCourse.get(dose.courseId)?.get(dose.scheduledAtMs)
      : undefined;
  const isKept = (dose: DoseEvent): boolean => (winnerOf(dose) ?? dose) === dose;
  return {
    kept: doses.filter(isKept),
    possibleDuplicates: doses.filter((dose) => !isKept(dose)),
  };
};

export interface DoseToCount {
  readonly id: string;
  readonly atMs: InstantMs;
  readonly drugKey: string;
  readonly doseMg: number;
  readonly route: Route;
  readonly presentationKey?: string | undefined;
  readonly courseId?: string | undefined;
  readonly subject: boolean;
}

/** Adds wall time and the active substance; an unknown drug counts as itself. */
export const countDose = (dose: DoseToCount, clock: LocalClock): CountedDose => {
  const drug = drugOf(dose.drugKey);
  return {
    id: dose.id,
    atMs: dose.atMs,
    wallMs: clock.wallMs(dose.atMs),
    day: clock.dayIndex(dose.atMs),
    drugKey: dose.drugKey,
    moiety: drug?.moiety ?? dose.drugKey,
    moietyMg: dose.doseMg * (drug?.moietyFactor ?? 1),
    route: dose.route,
    presentationKey: dose.presentationKey,
    courseId: dose.courseId,
    subject: dose.subject,
  };
};

/** What the placing needs to know of a course. */
export type CourseMarks = Pick<Course, "id" | "startOn" | "continuesFromDay" | "restartsSeries">;

/**
 * Numbers the days of treatment with one active substance. A run ends after more than
 * {@link SERIES_GAP_DAYS} days without a dose, or where the vet confirmed a fresh start. A course
 * carried on from elsewhere starts at the day number it states, never at a lower one.
 */
export const placeDoses = (
  doses: readonly CountedDose[],
  courses: readonly CourseMarks[],
): readonly PlacedDose[] => {
  const byId = new Map(courses.map((course) => [course.id, course]));
  const restarted = new Set<string>();
  const placed: PlacedDose[] = [];
  let previous: PlacedDose | undefined;
  let startDay = 0;
  for (const dose of doses.toSorted((a, b) => a.atMs - b.atMs || (a.id < b.id ? -1 : 1))) {
    const course = dose.courseId === undefined ? undefined : byId.get(dose.courseId);
    const freshStart = course?.restartsSeries === true && !restarted.has(course.id);
    if (freshStart) restarted.add(course.id);
    const opens = previous === undefined || dose.day - previous.day > SERIES_GAP_DAYS || freshStart;
    const carriedOn =
      course?.continuesFromDay === undefined
        ? 1
        : course.continuesFromDay + dose.day - dayIndexOf(course.startOn);
    if (opens) startDay = dose.day;
    const next: PlacedDose = {
      ...dose,
      series: (previous?.series ?? 0) + (opens ? 1 : 0),
      courseDay: Math.max(dose.day - startDay + 1, carriedOn),
      treatmentDay: opens
        ? (course?.continuesFromDay ?? 1)
        : (previous?.treatmentDay ?? 0) + (previous?.day === dose.day ? 0 : 1),
    };
    placed.push(next);
    previous = next;
  }
  return placed;
};

/**
 * True when `later` falls in the window that opens at `opener`. A window is closed at its start and
 * open at its end, and lasts its hours both on a stop-watch and on the yard's wall clock: so the
 * same clock time on the next day is never inside, whichever way the clocks were changed.
 */
export const inWindow = (
  opener: Pick<CountedDose, "atMs" | "wallMs">,
  later: Pick<CountedDose, "atMs" | "wallMs">,
  hours: number,
): boolean =>
  later.atMs >= opener.atMs &&
  later.atMs - opener.atMs < hours * MS_PER_HOUR &&
  later.wallMs - opener.wallMs < hours * MS_PER_HOUR;
