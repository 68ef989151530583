import { DateTime } from "luxon";
import { MS_PER_DAY, MS_PER_MINUTE, type InstantMs, type ZoneId } from "../time/index.ts";

/** Turns many instants of one zone into wall-clock figures without asking the zone each time. */
export interface LocalClock {
  /** Milliseconds a wall clock would show, counted as if it were UTC. */
  readonly wallMs: (at: InstantMs) => number;
  /** Number of the local calendar day since 1970-01-01. */
  readonly dayIndex: (at: InstantMs) => number;
}

/** Two clock changes within one week would be missed; no zone in use has them. */
const WEEK_MS = 7 * MS_PER_DAY;

interface Week {
  readonly offsetMs: number;
  /** The first instant of the new offset, or infinity in a week without a change. */
  readonly changeMs: number;
  readonly offsetAfterMs: number;
}

/** Answers of the zone database by zone and week. They never change, so keeping them is safe. */
const weeks = new Map<ZoneId, Map<number, Week>>();

const offsetAt = (zone: ZoneId, at: InstantMs): number => {
  const moment = DateTime.fromMillis(at, { zone });
  if (!moment.isValid) throw new RangeError(`unknown time zone ${zone}`);
  return moment.offset * MS_PER_MINUTE;
};

const readWeek = (zone: ZoneId, index: number): Week => {
  const start = index * WEEK_MS;
  const offsetMs = offsetAt(zone, start);
  const offsetAfterMs = offsetAt(zone, start + WEEK_MS);
  if (offsetMs === offsetAfterMs)
    return { offsetMs, changeMs: Number.POSITIVE_INFINITY, offsetAfterMs };
  let before = start;
  let after = start + WEEK_MS;
  while (after - before > MS_PER_MINUTE) {
    const middle = before + Math.floor((after - before) / 2 / MS_PER_MINUTE) * MS_PER_MINUTE;
    if (offsetAt(zone, middle) === offsetMs) before = middle;
    else after = middle;
  }
  return { offsetMs, changeMs: after, offsetAfterMs };
};

/** A clock of one zone. @throws RangeError on an unknown zone, at the first question. */
export const localClock = (zone: ZoneId): LocalClock => {
  const known = weeks.get(zone) ?? new Map<number, Week>();
  weeks.set(zone, known);
  const wallMs = (at: InstantMs): number => {
    const index = Math.floor(at / WEEK_MS);
    let week = known.get(index);
    if (week === undefined) {
      week = readWeek(zone, index);
      known.set(index, week);
    }
    return at + (at < week.changeMs ? week.offsetMs : week.offsetAfterMs);
  };
  return { wallMs, dayIndex: (at) => Math.floor(wallMs(at) / MS_PER_DAY) };
};

/** Number of a calendar day since 1970-01-01. */
export const dayIndexOf = (date: string): number =>
  Math.round(Date.parse(`${date}T00:00:00Z`) / MS_PER_DAY);
