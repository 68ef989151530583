import { addDays, daysBetween, type LocalDate } from "../time/index.ts";
import { CYCLE_SETTINGS, type CycleSettings } from "./settings.ts";

export interface FilmFacts {
  readonly resetOn: LocalDate;
  readonly lastFilmOn?: LocalDate;
  /** The day the plan asks for the next film, if it does. */
  readonly nextFilmOn?: LocalDate;
  /** True while the foot is being changed from visit to visit. */
  readonly inTreatment: boolean;
}

export interface FilmNeed {
  readonly needed: boolean;
  /** Days the newest film will be old on the day of the reset. */
  readonly ageAtResetDays?: number;
  /** First and last day to take it, so that it is fresh and there before the reset. */
  readonly takeFrom: LocalDate;
  readonly takeBy: LocalDate;
  readonly reason?: string;
}

/** Whether a film must be taken before a reset: because the plan's film day falls by then, or the last is too old to cut by. */
export const filmsBeforeReset = (
  facts: FilmFacts,
  settings: CycleSettings = CYCLE_SETTINGS,
): FilmNeed => {
  const fresh = settings.filmFreshDays.value;
  const takeFrom = addDays(facts.resetOn, -fresh);
  const ageAtResetDays =
    facts.lastFilmOn === undefined ? undefined : daysBetween(facts.lastFilmOn, facts.resetOn);
  const planned =
    facts.nextFilmOn !== undefined &&
    facts.nextFilmOn <= facts.resetOn &&
    (facts.lastFilmOn === undefined || facts.lastFilmOn < facts.nextFilmOn);
  const stale = facts.inTreatment && (ageAtResetDays === undefined || ageAtResetDays > fresh);
  const reason = planned
    ? `the plan asks for a film on ${facts.nextFilmOn ?? ""}`
    : stale
      ? ageAtResetDays === undefined
        ? "no film yet"
        : `the last film will be ${String(ageAtResetDays)} days old`
      : undefined;
  return {
    needed: reason !== undefined,
    takeFrom,
    takeBy: facts.resetOn,
    ...(ageAtResetDays === undefined ? {} : { ageAtResetDays }),
    ...(reason === undefined ? {} : { reason }),
  };
};
