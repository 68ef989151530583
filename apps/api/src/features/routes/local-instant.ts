import { DateTime } from "luxon";

/** An instant with the offset of a zone, such as `2026-10-14T09:30:00+01:00`. */
export const localInstant = (atMs: number, zone: string): string =>
  DateTime.fromMillis(atMs, { zone }).startOf("second").toISO({ suppressMilliseconds: true }) ??
  new Date(atMs).toISOString();

/** The clock time of an instant in a zone, `HH:MM`. */
export const localClock = (atMs: number, zone: string): string =>
  DateTime.fromMillis(atMs, { zone }).toFormat("HH:mm");

/** Day of the week of a calendar day, 1 Monday to 7 Sunday. */
export const weekdayOf = (date: string): number => DateTime.fromISO(date, { zone: "utc" }).weekday;
