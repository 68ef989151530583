import { daysBetween, type LocalDate } from "../time/index.ts";
import { FILM_AGE_MAINTENANCE, FILM_AGE_TREATMENT, type FilmAgeLimits } from "./settings.ts";

export type FilmAgeState = "fresh" | "amber" | "red";

export interface FilmAge {
  readonly days: number;
  readonly state: FilmAgeState;
  readonly text: string;
}

/**
 * Age of a film at the yard's local date. A film of a foot under treatment goes stale sooner than
 * one in maintenance. `limits` are the practice's own, where it has set them.
 * @throws RangeError when a date is not a date.
 */
export const filmAge = (
  takenOn: LocalDate,
  today: LocalDate,
  course: "treatment" | "maintenance",
  limits: FilmAgeLimits = (course === "treatment" ? FILM_AGE_TREATMENT : FILM_AGE_MAINTENANCE)
    .value,
): FilmAge => {
  const days = daysBetween(takenOn, today);
  const state: FilmAgeState =
    days > limits.redAfterDays ? "red" : days > limits.amberAfterDays ? "amber" : "fresh";
  const age = days === 0 ? "film of today" : `film ${days} ${days === 1 ? "day" : "days"} old`;
  return {
    days,
    state,
    text: state === "fresh" ? age : `${age}: the foot may no longer match it`,
  };
};
