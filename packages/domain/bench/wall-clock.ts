import { Temporal } from "@js-temporal/polyfill";

/**
 * Wall-clock minutes of a zone from a second time library, tabled per half hour because that is
 * the finest step at which any zone in use changes.
 */
const TABLE_FROM_MS = Date.UTC(2026, 0, 1);
const TABLE_TO_MS = Date.UTC(2027, 1, 1);
const HALF_HOUR_MS = 1_800_000;

const tables = new Map<string, readonly number[]>();

const tableOf = (zone: string): readonly number[] => {
  const known = tables.get(zone);
  if (known !== undefined) return known;
  const table: number[] = [];
  for (let at = TABLE_FROM_MS; at < TABLE_TO_MS; at += HALF_HOUR_MS)
    table.push(
      Temporal.Instant.fromEpochMilliseconds(at).toZonedDateTimeISO(zone).offsetNanoseconds /
        60_000_000_000,
    );
  tables.set(zone, table);
  return table;
};

/** Minutes since 1970 that a wall clock in the zone shows at an instant given in minutes. */
export const wallMinute = (zone: string, minute: number): number => {
  const index = Math.floor((minute * 60_000 - TABLE_FROM_MS) / HALF_HOUR_MS);
  const offset = tableOf(zone)[index];
  if (offset === undefined) throw new RangeError("outside the table");
  return minute + offset;
};
