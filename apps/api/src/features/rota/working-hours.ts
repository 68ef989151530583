import { weekdayOf } from "@heelward/domain/cycle";
import type { Setting } from "@heelward/domain/evidence";
import { atLocalTime, type LocalDate } from "@heelward/domain/time";

/** A person's week as the rules use it. */
export interface Week {
  readonly personId: string;
  readonly hours: readonly {
    readonly weekday: number;
    readonly starts: string;
    readonly ends: string;
  }[];
  readonly lunch: {
    readonly from: string;
    readonly until: string;
    readonly minutes: number;
  } | null;
  readonly skills: readonly string[];
  readonly yardIds: readonly string[];
  readonly home: { readonly lat: number; readonly lon: number } | null;
  /** Nobody has entered this person's week yet. */
  readonly isStandard: boolean;
}

export interface Away {
  readonly personId: string;
  readonly fromOn: LocalDate;
  readonly toOn: LocalDate;
}

/** Who works when: weeks, days away and days on which the practice is closed, in the practice's zone. */
export interface Rota {
  readonly zone: string;
  readonly weeks: ReadonlyMap<string, Week>;
  readonly away: readonly Away[];
  readonly closedOn: ReadonlySet<LocalDate>;
}

/** Work that not every farrier does. */
const SKILLS = ["glue-on", "complex first fit"] as const;

const rule = <T>(key: string, value: T, unit: string, citation: string): Setting<T> => ({
  key: `rota/${key}`,
  value,
  unit,
  source: { id: `house-rota-${key}`, citation, status: "house rule" },
  since: "2026-01-01",
  change: "free",
});
/** Hours of a farrier who has entered none. */
const STANDARD_HOURS = rule(
  "standard-hours",
  { starts: "08:00", ends: "17:00" },
  "local time, Monday to Friday",
  "House rule until a farrier enters the own week",
);

/** The week of somebody who has entered none: Monday to Friday, and nothing said against any skill. */
export const standardWeek = (personId: string): Week => ({
  personId,
  hours: [1, 2, 3, 4, 5].map((weekday) => ({ weekday, ...STANDARD_HOURS.value })),
  lunch: null,
  skills: SKILLS,
  yardIds: [],
  home: null,
  isStandard: true,
});

export const weekOf = (rota: Rota, personId: string): Week =>
  rota.weeks.get(personId) ?? standardWeek(personId);

/** Why somebody does not work on a day; null when they do. */
export const offReason = (rota: Rota, personId: string, on: LocalDate): string | null => {
  if (rota.closedOn.has(on)) return "the practice is closed";
  if (rota.away.some((one) => one.personId === personId && one.fromOn <= on && on <= one.toOn))
    return "the farrier is away";
  return weekOf(rota, personId).hours.some((one) => one.weekday === weekdayOf(on))
    ? null
    : "not a working day of the farrier";
};

export interface WorkingDay {
  readonly startMs: number;
  readonly endMs: number;
  readonly lunch?: { readonly fromMs: number; readonly untilMs: number; readonly minutes: number };
}

/** The working hours of a day as instants; null when it is a day off. */
export const workingDay = (rota: Rota, personId: string, on: LocalDate): WorkingDay | null => {
  if (offReason(rota, personId, on) !== null) return null;
  const week = weekOf(rota, personId);
  const hours = week.hours.find((one) => one.weekday === weekdayOf(on));
  if (hours === undefined) return null;
  const at = (time: string): number => atLocalTime(on, time, rota.zone);
  const [startMs, endMs] = [at(hours.starts), at(hours.ends)];
  // A clock change in the small hours can swallow a very short day.
  if (endMs <= startMs) return null;
  return {
    startMs,
    endMs,
    ...(week.lunch === null || at(week.lunch.from) < startMs || at(week.lunch.until) > endMs
      ? {}
      : {
          lunch: {
            fromMs: at(week.lunch.from),
            untilMs: at(week.lunch.until),
            minutes: week.lunch.minutes,
          },
        }),
  };
};

/**
 * Whether a booking may not fall on a day. The house's standard week only serves planning: nobody is
 * kept from booking a Saturday by a week that was never entered.
 */
export const isOffForBooking = (rota: Rota, personId: string, on: LocalDate): boolean => {
  const week = weekOf(rota, personId);
  return week.isStandard
    ? offReason({ ...rota, weeks: new Map([[personId, everyDay(week)]]) }, personId, on) !== null
    : offReason(rota, personId, on) !== null;
};

const everyDay = (week: Week): Week => ({
  ...week,
  hours: [1, 2, 3, 4, 5, 6, 7].map((weekday) => ({ weekday, ...STANDARD_HOURS.value })),
});
