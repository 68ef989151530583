import { DateTime } from "luxon";
import {
  MS_PER_DAY,
  MS_PER_HOUR,
  MS_PER_MINUTE,
  type InstantMs,
  type ZoneId,
} from "../time/index.ts";

/** Turns many instants of one zone into wall-clock figures without asking the zone each time. */
export interface LocalClock {
  /** Milliseconds a wall clock would show, counted as if it were UTC. */
  readonly wallMs: (at: InstantMs) => number;
  /** Number of the local calendar day since 1970-01-01. */
  readonly dayIndex: (at: InstantMs) => number;
}

/** Two clock changes closer together than this would be missed; no zone in use has them. */
const PROBE_MS = 7 * MS_PER_DAY;

/** A clock for instants from `fromMs` to `toMs`. @throws RangeError on an unknown zone. */
export const localClock = (zone: ZoneId, fromMs: InstantMs, toMs: InstantMs): LocalClock => {
  const offsetAt = (at: InstantMs): number => {
    const moment = DateTime.fromMillis(at, { zone });
    if (!moment.isValid) throw new RangeError(`unknown time zone ${zone}`);
    return moment.offset * MS_PER_MINUTE;
  };
  const startsMs: number[] = [Number.NEGATIVE_INFINITY];
  const first = Math.floor((fromMs - 2 * MS_PER_DAY) / MS_PER_HOUR) * MS_PER_HOUR;
  const end = toMs + 2 * MS_PER_DAY;
  const offsetsMs: number[] = [offsetAt(first)];
  let at = first;
  let offset = offsetsMs[0] ?? 0;
  while (at < end) {
    const next = at + PROBE_MS;
    const nextOffset = offsetAt(next);
    if (nextOffset !== offset) {
      let before = at;
      let after = next;
      while (after - before > MS_PER_MINUTE) {
        const middle = before + Math.floor((after - before) / 2 / MS_PER_MINUTE) * MS_PER_MINUTE;
        if (offsetAt(middle) === offset) before = middle;
        else after = middle;
      }
      startsMs.push(after);
      offsetsMs.push(nextOffset);
    }
    at = next;
    offset = nextOffset;
  }
  const wallMs = (instant: InstantMs): number => {
    let index = startsMs.length - 1;
    while (index > 0 && instant < (startsMs[index] ?? 0)) index -= 1;
    return instant + (offsetsMs[index] ?? 0);
  };
  return { wallMs, dayIndex: (instant) => Math.floor(wallMs(instant) / MS_PER_DAY) };
};

/** Number of a calendar day since 1970-01-01. */
export const dayIndexOf = (date: string): number =>
  Math.round(Date.parse(`${date}T00:00:00Z`) / MS_PER_DAY);
