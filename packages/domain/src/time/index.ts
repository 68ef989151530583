import { DateTime } from "luxon";

/**
 * Time as the rules see it. The clock is always an argument; nothing here reads it.
 */

/** Milliseconds since the Unix epoch, UTC. */
export type InstantMs = number;
/** Calendar day as `YYYY-MM-DD`, in a zone named beside it. */
export type LocalDate = string;
/** IANA time zone, such as `Europe/Dublin`. */
export type ZoneId = string;

export const MS_PER_MINUTE = 60_000;
export const MS_PER_HOUR = 3_600_000;
export const MS_PER_DAY = 86_400_000;

/** True when the zone is known to the runtime. */
export const isZone = (zone: string): boolean => DateTime.fromMillis(0, { zone }).isValid;

/** The calendar day of an instant in a zone. @throws RangeError on an unknown zone. */
export const localDateOf = (at: InstantMs, zone: ZoneId): LocalDate => {
  const iso = DateTime.fromMillis(at, { zone }).toISODate();
  if (iso === null) throw new RangeError(`unknown time zone ${zone}`);
  return iso;
};

/**
 * The instant of a wall-clock time (`HH:MM`) on a day. A repeated time takes the first of the two;
 * a time skipped by a clock change moves forward by the length of the gap.
 *
 * Worked out from the zone's own offsets on both sides, because the parser of the date library
 * resolves a repeated hour from the offset in force on the machine's own date.
 */
export const atLocalTime = (date: LocalDate, time: string, zone: ZoneId): InstantMs => {
  const wall = DateTime.fromISO(`${date}T${time}`, { zone: "utc" });
  if (!wall.isValid) throw new RangeError(`not a date and time: ${date} ${time}`);
  if (!isZone(zone)) throw new RangeError(`unknown time zone ${zone}`);
  const wallMs = wall.toMillis();
  const offsetMsAt = (at: InstantMs) => DateTime.fromMillis(at, { zone }).offset * MS_PER_MINUTE;
  const before = offsetMsAt(wallMs - MS_PER_DAY);
  const after = offsetMsAt(wallMs + MS_PER_DAY);
  const earliest = wallMs - Math.max(before, after);
  const latest = wallMs - Math.min(before, after);
  if (earliest + offsetMsAt(earliest) === wallMs) return earliest;
  if (latest + offsetMsAt(latest) === wallMs) return latest;
  return wallMs - before;
};

/** First instant of a calendar day in a zone (not always midnight where clocks change at midnight). */
export const startOfDay = (date: LocalDate, zone: ZoneId): InstantMs =>
  atLocalTime(date, "00:00", zone);

/** `date` moved by whole calendar days (may be negative). */
export const addDays = (date: LocalDate, days: number): LocalDate => {
  const iso = DateTime.fromISO(date, { zone: "utc" }).plus({ days }).toISODate();
  if (iso === null) throw new RangeError(`not a date: ${date}`);
  return iso;
};

const MONTHS = [
  "January",
  "February",
  "March",
  "April",
  "May",
  "June",
  "July",
  "August",
  "September",
  "October",
  "November",
  "December",
] as const;

/** A day as people read it: `14 October 2026`. @throws RangeError on what is no date. */
export const dayText = (date: LocalDate): string => {
  const [year, month, day] = date.split("-").map(Number);
  const name = MONTHS[(month ?? 0) - 1];
  if (name === undefined || !(day !== undefined && day >= 1 && day <= 31))
    throw new RangeError(`not a date: ${date}`);
  return `${String(day)} ${name} ${String(year)}`;
};

/** Whole calendar days from `from` to `to`; negative when `to` is earlier. */
export const daysBetween = (from: LocalDate, to: LocalDate): number => {
  const days = DateTime.fromISO(to, { zone: "utc" }).diff(
    DateTime.fromISO(from, { zone: "utc" }),
    "days",
  ).days;
  if (!Number.isFinite(days)) throw new RangeError(`not dates: ${from}, ${to}`);
  return Math.round(days);
};

/** An instant as `YYYY-MM-DDTHH:MM:SS±HH:MM` in a zone: what a clock on the wall showed, and its offset. */
export const withOffset = (at: InstantMs, zone: ZoneId): string => {
  const iso = DateTime.fromMillis(at, { zone }).toISO({ suppressMilliseconds: true });
  if (iso === null) throw new RangeError(`unknown time zone ${zone}`);
  return iso;
};
