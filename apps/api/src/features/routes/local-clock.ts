import { withOffset } from "@heelward/domain/time";
import { DateTime } from "luxon";

/** An instant with the offset of a zone, to the second: nobody drives by the millisecond. */
export const localInstant = (atMs: number, zone: string): string =>
  withOffset(Math.floor(atMs / 1000) * 1000, zone);

/** The clock time of an instant in a zone, `HH:MM`. */
export const localClock = (atMs: number, zone: string): string =>
  DateTime.fromMillis(atMs, { zone }).toFormat("HH:mm");
