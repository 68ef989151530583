import { isRole } from "./roles.ts";
import type { Transaction } from "../../database/client.ts";
import { isoDay } from "../../http/dates.ts";
import { filmNeed, minutesOf, windowOf } from "../resets/standing.ts";
import { findResets } from "../resets/read-model.ts";

/** One date of a person's calendar. Says little: a calendar is read on shared screens. */
export interface CalendarDate {
  /** The same for the same thing, for ever. */
  readonly uid: string;
  readonly summary: string;
  readonly place: string;
  readonly note: string;
  /** An hour, or a whole day. */
  readonly when: { readonly startMs: number; readonly endMs: number } | { readonly on: string };
}

const MOST = 1000;

/** A farrier's visits, a vet's films and reviews to do, an owner's own horses' visits. The transaction sees what the person sees. */
export const datesOf = async (
  { tx, nowMs }: { readonly tx: Transaction; readonly nowMs: number },
  person: { readonly id: string; readonly roles: readonly string[] },
): Promise<readonly CalendarDate[]> => {
  const roles = person.roles.filter(isRole);
  const rows = await findResets({ tx, nowMs }, { isOpen: true, limit: MOST });
  const visits = rows.flatMap((row): CalendarDate[] => {
    if (row.bookedFor === null || row.pausedReason !== null) return [];
    const isFarriers = roles.includes("farrier") && row.farrier?.id === person.id;
    if (!isFarriers && !roles.includes("owner") && !roles.includes("carer")) return [];
    const startMs = row.bookedFor.getTime();
    return [
      {
        uid: `reset-${row.id}`,
        summary: isFarriers ? `${row.horse.name}, ${row.yard.name}` : `Farrier: ${row.horse.name}`,
        place: row.yard.name,
        note: isFarriers ? (row.job ?? "trim and reset") : "",
        when: { startMs, endMs: startMs + (row.bookedMinutes ?? minutesOf(row)) * 60_000 },
      },
    ];
  });
  if (!roles.includes("vet")) return visits;
  const films = rows.flatMap((row): CalendarDate[] => {
    const need = row.pausedReason === null ? filmNeed(row) : null;
    return need === null
      ? []
      : [
          {
            uid: `film-${row.id}`,
            summary: `Film before the reset: ${row.horse.name}`,
            place: row.yard.name,
            note: "",
            when: { on: windowOf(row).bookBy },
          },
        ];
  });
  const courses = await tx.medicationCourse.findMany({
    where: { status: { in: ["signed", "held"] }, reviewOn: { not: null } },
    take: MOST,
  });
  const horses = new Map(
    (
      await tx.horse.findMany({ where: { id: { in: courses.map((course) => course.horseId) } } })
    ).map((horse) => [horse.id, horse.name]),
  );
  const reviews = courses.flatMap((course): CalendarDate[] =>
    course.reviewOn === null
      ? []
      : [
          {
            uid: `review-${course.id}`,
            summary: `Review: ${horses.get(course.horseId) ?? "a horse"}`,
            place: "",
            note: "",
            when: { on: isoDay(course.reviewOn) },
          },
        ],
  );
  return [...visits, ...films, ...reviews];
};
