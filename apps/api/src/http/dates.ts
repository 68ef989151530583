/** A `date` column as `YYYY-MM-DD`. */
export const isoDay = (value: Date): string => value.toISOString().slice(0, 10);
export const isoDayOrNull = (value: Date | null): string | null =>
  value === null ? null : isoDay(value);
/** `YYYY-MM-DD` as a `date` column wants it. */
export const dayColumn = (day: string): Date => new Date(`${day}T00:00:00Z`);
export const isoOrNull = (value: Date | null): string | null =>
  value === null ? null : value.toISOString();
