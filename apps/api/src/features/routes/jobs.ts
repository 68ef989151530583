import { addDays, dayText, localDateOf } from "@heelward/domain/time";
import { minutesOf, standingOf, windowOf } from "../resets/standing.ts";
import type { ResetRow } from "../resets/read-model.ts";

/** One horse of the day: booked, or due and taken in as a draft. */
export interface Job {
  readonly row: ResetRow;
  readonly standing: ReturnType<typeof standingOf>;
  readonly minutes: number;
  readonly bookedForMs: number | null;
}

/** In trouble: red, or pain is up. */
export const isUrgent = (job: Job): boolean => job.standing.state === "red" || job.row.isPainUp;

/** In trouble first, then the most days late, then as booked. */
const byNeed = (a: Job, b: Job): number =>
  Number(isUrgent(b)) - Number(isUrgent(a)) ||
  b.standing.daysLate - a.standing.daysLate ||
  (a.bookedForMs ?? 0) - (b.bookedForMs ?? 0) ||
  (a.row.id < b.row.id ? -1 : 1);

/** The bookings that fall on a day at their yard, the most pressing first. */
export const jobsOf = (
  rows: readonly ResetRow[],
  date: string,
  atMs: number,
  usualMinutes: number,
): readonly Job[] =>
  rows
    .flatMap((row) =>
      row.bookedFor !== null && localDateOf(row.bookedFor.getTime(), row.yard.timeZone) === date
        ? [
            {
              row,
              standing: standingOf(row, atMs),
              minutes: row.bookedMinutes ?? usualMinutes,
              bookedForMs: row.bookedFor.getTime(),
            },
          ]
        : [],
    )
    .toSorted(byNeed);

const isWithoutDate = (row: ResetRow, until: string): boolean =>
  row.status === "open" && row.pausedReason === null && windowOf(row).bookBy <= until;

/** What is due or late on a day and has no date: a proposal for the day, the most pressing first. */
export const draftJobs = (rows: readonly ResetRow[], date: string, atMs: number): readonly Job[] =>
  rows
    .filter((row) => isWithoutDate(row, date))
    .map((row) => ({
      row,
      standing: standingOf(row, atMs),
      minutes: minutesOf(row),
      bookedForMs: null,
    }))
    .toSorted(byNeed);

/** One line for each horse that is due soon or overdue and has no date. */
export const notBooked = (
  rows: readonly ResetRow[],
  date: string,
  aheadDays: number,
): readonly string[] => {
  const until = addDays(date, aheadDays);
  return rows
    .filter((row) => isWithoutDate(row, until))
    .map(
      (row) =>
        `${row.horse.name} at ${row.yard.name} is due on ${dayText(windowOf(row).bookBy)} and has no date yet.`,
    );
};
