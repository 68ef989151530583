import { isClosedOn } from "@heelward/domain/cycle";
import {
  addDays,
  atLocalTime,
  localDateOf,
  MS_PER_DAY,
  MS_PER_MINUTE,
  startOfDay,
} from "@heelward/domain/time";
import { badField } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { findRota } from "../rota/read-model.ts";
import { isOffForBooking, weekOf, workingDay } from "../rota/working-hours.ts";
import { closedDays } from "./booking.ts";
import { findRow } from "./rows.ts";
import { minutesOf, skillsOf, windowOf } from "./standing.ts";
import { findBooked, type BookedVisit, type ResetRow } from "./store.ts";

const MOST_SLOTS = 12;
/** Left between visits for packing and driving; the day's route settles the rest (house rule). */
const GAP_MINUTES = 30;
const STEP_MINUTES = 15;
const UNKNOWN_MINUTES = 45;
/** For a horse that is past every limit: the first days from today. */
const CATCHING_UP_DAYS = 3;

/** The last day that needs no vet's signature, or the first days possible for a horse past it. */
export const lastDayOf = (row: ResetRow, today: string): string => {
  const window = windowOf(row);
  const wall =
    window.latestSafeOn !== undefined && window.latestSafeOn < window.ceilingOn
      ? window.latestSafeOn
      : window.ceilingOn;
  const firm = wall > window.dueOn ? wall : window.dueOn;
  const catchUp = addDays(today, CATCHING_UP_DAYS);
  return firm > catchUp ? firm : catchUp;
};

/** When work may be done at the yard on a day: its opening hours, or the whole day. */
const opensAt = (row: ResetRow, on: string): readonly (readonly [number, number])[] => {
  const zone = row.yard.timeZone;
  if (row.opening.length === 0) return [[startOfDay(on, zone), startOfDay(addDays(on, 1), zone)]];
  const weekday = new Date(`${on}T00:00:00Z`).getUTCDay() || 7;
  return row.opening
    .filter((one) => one.weekday === weekday)
    .map((one) => [atLocalTime(on, one.opens, zone), atLocalTime(on, one.closes, zone)] as const)
    .toSorted((a, b) => a[0] - b[0]);
};

/** The first start inside the bounds that keeps clear of what is booked. */
const firstGap = (
  fromMs: number,
  untilMs: number,
  minutes: number,
  booked: readonly BookedVisit[],
): number | null => {
  const lengthMs = minutes * MS_PER_MINUTE;
  const gapMs = GAP_MINUTES * MS_PER_MINUTE;
  const stepMs = STEP_MINUTES * MS_PER_MINUTE;
  for (
    let startMs = Math.ceil(fromMs / stepMs) * stepMs;
    startMs + lengthMs <= untilMs;
    startMs += stepMs
  ) {
    const isFree = booked.every((one) => {
      const otherMs = one.bookedFor.getTime();
      const otherEndMs = otherMs + (one.minutes ?? UNKNOWN_MINUTES) * MS_PER_MINUTE;
      return startMs + lengthMs + gapMs <= otherMs || otherEndMs + gapMs <= startMs;
    });
    if (isFree) return startMs;
  }
  return null;
};

/**
 * Where this reset could go: the first free time of each working day inside its limits. The due day
 * stays what it is; a slot after it says so.
 */
export const slots = async (
  work: Work,
  id: string,
  query: { readonly farrierId?: string | undefined; readonly minutes?: number | undefined },
) => {
  const { tx, nowMs } = work;
  const row = await findRow(work, id);
  const zone = row.yard.timeZone;
  const today = localDateOf(nowMs, zone);
  const window = windowOf(row);
  const lastDayOn = lastDayOf(row, today);
  const farrierId = query.farrierId ?? row.farrier?.id;
  if (farrierId === undefined)
    throw badField("/farrierId", "this horse has no farrier yet: name one");
  const farrier = await tx.person.findFirst({
    where: { id: farrierId, status: "active", roles: { has: "farrier" } },
  });
  if (farrier === null) throw badField("/farrierId", "is not an active farrier of this practice");
  const rota = await findRota(tx, addDays(today, -1));
  const minutes = query.minutes ?? minutesOf(row);
  const booked = (
    await findBooked(tx, farrierId, [
      new Date(startOfDay(today, zone) - MS_PER_DAY),
      new Date(startOfDay(lastDayOn, zone) + 2 * MS_PER_DAY),
    ])
  ).filter((one) => one.resetId !== id);
  const lacks = skillsOf(row).filter((skill) => !weekOf(rota, farrierId).skills.includes(skill));
  const first = window.opensOn > today ? window.opensOn : today;
  const items: {
    farrier: { id: string; name: string };
    startAt: string;
    on: string;
    note: string;
  }[] = [];
  for (let on = first; on <= lastDayOn && items.length < MOST_SLOTS; on = addDays(on, 1)) {
    const day = workingDay(rota, farrierId, on);
    if (day === null || isOffForBooking(rota, farrierId, on) || isClosedOn(closedDays(row), on))
      continue;
    const startMs = opensAt(row, on)
      .map(([opensMs, closesMs]) =>
        firstGap(
          Math.max(day.startMs, opensMs, nowMs),
          Math.min(day.endMs, closesMs),
          minutes,
          booked,
        ),
      )
      .find((found) => found !== null);
    if (startMs === undefined || startMs === null) continue;
    const notes = [
      ...(on > window.dueOn ? [`after the due day ${window.dueOn}`] : []),
      ...(on > window.bookBy && on <= window.dueOn
        ? [`after ${window.bookBy}, when fast growth meets the limit`]
        : []),
      ...(lacks.length > 0 ? [`needs ${lacks.join(", ")} as well`] : []),
    ];
    items.push({
      farrier: { id: farrier.id, name: farrier.name },
      startAt: new Date(startMs).toISOString(),
      on,
      note: notes.join("; "),
    });
  }
  return { items, dueOn: window.dueOn, lastDayOn };
};
