import { DateTime } from "luxon";
import { daysBetween, type LocalDate } from "../time/index.ts";

/** How precisely the birth is known: a passport often prints the year alone. */
export type Birth = { readonly bornOn: LocalDate } | { readonly bornYear: number };

export interface Age {
  readonly years: number;
  /** Present only when the day of birth is known. */
  readonly days?: number;
  /** With a year alone the animal may be up to one year younger than `years`. */
  readonly exact: boolean;
}

/**
 * Age on a day. With a date: completed years, an animal born on 29 February having its birthday on
 * 1 March in common years (it has completed the year only after 28 February has passed). With a
 * year alone: the difference of years, marked as not exact.
 *
 * @returns undefined when the birth lies after the day.
 */
export const ageOn = (birth: Birth, on: LocalDate): Age | undefined => {
  if ("bornYear" in birth) {
    const years = Number(on.slice(0, 4)) - birth.bornYear;
    return years < 0 ? undefined : { years, exact: false };
  }
  const days = daysBetween(birth.bornOn, on);
  if (days < 0) return undefined;
  const born = DateTime.fromISO(birth.bornOn, { zone: "utc" });
  const day = DateTime.fromISO(on, { zone: "utc" });
  const hadBirthday =
    day.month > born.month || (day.month === born.month && day.day >= born.day) ? 0 : 1;
  return { years: day.year - born.year - hadBirthday, days, exact: true };
};
