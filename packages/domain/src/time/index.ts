import { DateTime, IANAZone } from "luxon";

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

/** Since then every clock change in force anywhere has fallen on a whole minute. */
const WHOLE_MINUTES_SINCE_MS = Date.UTC(1973, 0, 1);
const MOST_OFFSETS = 20_000;
/** Asking the runtime for an offset is dear and the same few are asked again and again. */
const offsets = new Map<string, number>();

/** How far a zone's clocks are ahead of UTC at an instant, in ms. @throws RangeError on an unknown zone. */
const offsetMsAt = (at: InstantMs, zone: ZoneId): number => {
  const key = `${zone} ${Math.floor(at / MS_PER_MINUTE)}`;
  const known = at < WHOLE_MINUTES_SINCE_MS ? undefined : offsets.get(key);
  if (known !== undefined) return known;
  if (!isZone(zone)) throw new RangeError(`unknown time zone ${zone}`);
  const offsetMs = IANAZone.isValidZone(zone)
    ? IANAZone.create(zone).offset(at) * MS_PER_MINUTE
    : DateTime.fromMillis(at, { zone }).offset * MS_PER_MINUTE;
  if (offsets.size >= MOST_OFFSETS) offsets.clear();
  offsets.set(key, offsetMs);
  return offsetMs;
};

const DATE = /^(\d{4})-(\d{2})-(\d{2})$/;
/** `24:00` is the end of the day, as ISO 8601 has it. */
const TIME = /^(?:(?:[01]\d|2[0-3]):[0-5]\d|24:00)$/;

/** Midnight UTC of a day. @throws RangeError on what is no date. */
const utcMidnight = (date: LocalDate): InstantMs => {
  const [, year, month, day] = DATE.exec(date) ?? [];
  const midnight = new Date(0);
  midnight.setUTCFullYear(Number(year), Number(month) - 1, Number(day));
  const at = midnight.getTime();
  if (Number.isNaN(at) || dateOfUtc(at) !== date) throw new RangeError(`not a date: ${date}`);
  return at;
};

const dateOfUtc = (at: InstantMs): LocalDate => {
  const iso = new Date(at).toISOString();
  // Beyond the year 9999 the year has a sign and six digits.
  return iso.slice(0, iso.indexOf("T"));
};

/** The calendar day of an instant in a zone. @throws RangeError on an unknown zone. */
export const localDateOf = (at: InstantMs, zone: ZoneId): LocalDate =>
  dateOfUtc(at + offsetMsAt(at, zone));

/**
 * The instant of a wall-clock time (`HH:MM`) on a day. A repeated time takes the first of the two;
 * a time skipped by a clock change moves forward by the length of the gap.
 *
 * Worked out from the zone's own offsets on both sides, because the parser of the date library
 * resolves a repeated hour from the offset in force on the machine's own date.
 */
export const atLocalTime = (date: LocalDate, time: string, zone: ZoneId): InstantMs => {
  if (!TIME.test(time)) throw new RangeError(`not a date and time: ${date} ${time}`);
  const wallMs =
    utcMidnight(date) +
    Number(time.slice(0, 2)) * MS_PER_HOUR +
    Number(time.slice(3)) * MS_PER_MINUTE;
  const before = offsetMsAt(wallMs - MS_PER_DAY, zone);
  const after = offsetMsAt(wallMs + MS_PER_DAY, zone);
  const earliest = wallMs - Math.max(before, after);
  const latest = wallMs - Math.min(before, after);
  if (earliest + offsetMsAt(earliest, zone) === wallMs) return earliest;
  if (latest + offsetMsAt(latest, zone) === wallMs) return latest;
  return wallMs - before;
};

/** First instant of a calendar day in a zone (not always midnight where clocks change at midnight). */
export const startOfDay = (date: LocalDate, zone: ZoneId): InstantMs =>
  atLocalTime(date, "00:00", zone);

/** `date` moved by whole calendar days (may be negative). */
export const addDays = (date: LocalDate, days: number): LocalDate =>
  dateOfUtc(utcMidnight(date) + days * MS_PER_DAY);

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
export const daysBetween = (from: LocalDate, to: LocalDate): number =>
  (utcMidnight(to) - utcMidnight(from)) / MS_PER_DAY;

/** An instant as `YYYY-MM-DDTHH:MM:SS±HH:MM` in a zone: what a clock on the wall showed, and its offset. */
export const withOffset = (at: InstantMs, zone: ZoneId): string => {
  const iso = DateTime.fromMillis(at, { zone }).toISO({ suppressMilliseconds: true });
  if (iso === null) throw new RangeError(`unknown time zone ${zone}`);
  return iso;
};
