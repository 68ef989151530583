import { addDays, atLocalTime, startOfDay, type LocalDate } from "@heelward/domain/time";
import { weekdayOf } from "@heelward/domain/cycle";
import type {
  DriveMatrix,
  DueReset,
  FarrierDay,
  HorizonProblem,
  Place,
  VetVisit,
  YardOpening,
} from "@heelward/routing";
import { weekOf, workingDay, type Rota } from "../rota/working-hours.ts";

/** A yard as planning sees it. */
export interface PlanYard {
  readonly id: string;
  readonly lat: number;
  readonly lon: number;
  readonly timeZone: string;
  readonly opening: readonly {
    readonly weekday: number;
    readonly opens: string;
    readonly closes: string;
  }[];
  readonly closedOn: readonly LocalDate[];
}

/** A reset that may be planned. */
export interface PlanReset {
  readonly id: string;
  readonly yardId: string;
  readonly minutes: number;
  readonly opensOn: LocalDate;
  /** The due day, or earlier when the forecast says so. */
  readonly bookBy: LocalDate;
  /** The last day without a vet's signature. */
  readonly lastDayOn: LocalDate;
  readonly weight: number;
  readonly skills: readonly string[];
  readonly vetNeeded: boolean;
  readonly helperNeeded: boolean;
  /** Who has the horse; another farrier is asked only to cover. */
  readonly farrierId: string | null;
  readonly booked: {
    readonly farrierId: string;
    readonly atMs: number;
    readonly on: LocalDate;
  } | null;
  readonly isUrgent: boolean;
}

export interface PlanRequest {
  readonly fromOn: LocalDate;
  readonly toOn: LocalDate;
  /** Nothing is planned before this instant. */
  readonly nowMs: number;
  readonly farrierIds: readonly string[];
  readonly keepBooked: "fixed" | "promised" | "free";
  readonly vetVisits: readonly {
    readonly vetId: string;
    readonly yardId: string;
    readonly on: LocalDate;
    readonly from: string;
    readonly until: string;
  }[];
}

/** Places: `home <farrier>` and the yards. */
export const planPlaces = (
  yards: readonly PlanYard[],
  farrierIds: readonly string[],
  rota: Rota,
  base: { readonly lat: number; readonly lon: number },
): readonly Place[] => [
  ...farrierIds.map((id) => {
    const home = weekOf(rota, id).home ?? base;
    return { id: `home ${id}`, at: { latDegrees: home.lat, lonDegrees: home.lon } };
  }),
  ...yards.map((yard) => ({
    id: yard.id,
    at: { latDegrees: yard.lat, lonDegrees: yard.lon },
  })),
];

const openingOn = (yard: PlanYard, on: LocalDate): { openMs: number; closeMs: number } | null => {
  if (yard.closedOn.includes(on)) return null;
  if (yard.opening.length === 0)
    return {
      openMs: startOfDay(on, yard.timeZone),
      closeMs: startOfDay(addDays(on, 1), yard.timeZone),
    };
  // Of two openings the longer one is planned for: a day has one window.
  return (
    yard.opening
      .filter((one) => one.weekday === weekdayOf(on))
      .map((one) => ({
        openMs: atLocalTime(on, one.opens, yard.timeZone),
        closeMs: atLocalTime(on, one.closes, yard.timeZone),
      }))
      .filter((one) => one.openMs < one.closeMs)
      .toSorted((a, b) => b.closeMs - b.openMs - (a.closeMs - a.openMs))[0] ?? null
  );
};

const daysOf = (request: PlanRequest): readonly LocalDate[] => {
  const days: LocalDate[] = [];
  for (let on = request.fromOn; on <= request.toOn; on = addDays(on, 1)) days.push(on);
  return days;
};

/** An agreed time may be met a quarter of an hour late. House rule. */
const AGREED_SLACK_MS = 15 * 60_000;

const earlier = (a: LocalDate, b: LocalDate | undefined): LocalDate =>
  b !== undefined && b < a ? b : a;
const later = (a: LocalDate, b: LocalDate | undefined): LocalDate =>
  b !== undefined && b > a ? b : a;

const dueReset = (reset: PlanReset, request: PlanRequest, rota: Rota): DueReset => {
  const { booked } = reset;
  const isFree = request.keepBooked === "free" || reset.isUrgent || booked === null;
  const onlyFarrierIds =
    reset.farrierId === null
      ? undefined
      : request.farrierIds.filter(
          (id) =>
            id === reset.farrierId ||
            weekOf(rota, id).isStandard ||
            weekOf(rota, id).yardIds.includes(reset.yardId),
        );
  return {
    id: reset.id,
    placeId: reset.yardId,
    serviceMinutes: reset.minutes,
    earliestOn: reset.isUrgent ? request.fromOn : earlier(reset.opensOn, booked?.on),
    dueOn: reset.isUrgent && reset.bookBy > request.fromOn ? request.fromOn : reset.bookBy,
    // A later day that was booked by the rules carries the vet's signature already.
    ceilingOn: later(reset.lastDayOn, booked?.on),
    welfareWeight: reset.weight,
    ...(reset.skills.length === 0 ? {} : { skills: reset.skills }),
    ...(reset.vetNeeded ? { vetNeeded: true } : {}),
    ...(reset.helperNeeded ? { helperNeeded: true } : {}),
    ...(onlyFarrierIds === undefined ? {} : { onlyFarrierIds }),
    ...(isFree
      ? {}
      : request.keepBooked === "fixed"
        ? {
            fixed: {
              farrierId: booked.farrierId,
              on: booked.on,
              window: { openMs: booked.atMs, closeMs: booked.atMs + AGREED_SLACK_MS },
            },
          }
        : { promised: { farrierId: booked.farrierId, on: booked.on } }),
  };
};

/**
 * The planning problem of a practice: days and hours as instants, so that clock changes and yards in
 * other zones are settled before the search begins. A yard's day is its own calendar day; a farrier
 * works in the practice's hours.
 */
export const buildHorizon = (
  request: PlanRequest,
  rota: Rota,
  yards: readonly PlanYard[],
  resets: readonly PlanReset[],
  drive: DriveMatrix,
): HorizonProblem => {
  const days = daysOf(request);
  const farrierDays = days.flatMap((on): FarrierDay[] =>
    request.farrierIds.flatMap((farrierId): FarrierDay[] => {
      const day = workingDay(rota, farrierId, on);
      if (day === null || day.endMs <= request.nowMs) return [];
      const startMs = Math.max(day.startMs, request.nowMs);
      const { lunch } = day;
      return [
        {
          farrierId,
          on,
          startMs,
          endMs: day.endMs,
          startPlaceId: `home ${farrierId}`,
          endPlaceId: `home ${farrierId}`,
          ...(lunch === undefined || lunch.untilMs < startMs
            ? {}
            : {
                dayBreak: {
                  fromMs: Math.max(lunch.fromMs, startMs),
                  untilMs: lunch.untilMs,
                  minutes: lunch.minutes,
                },
              }),
        },
      ];
    }),
  );
  const openings = yards.flatMap((yard) =>
    days.flatMap((on): YardOpening[] => {
      const open = openingOn(yard, on);
      // A carer of the yard holds horses while it is open.
      return open === null ? [] : [{ placeId: yard.id, on, ...open, helper: open }];
    }),
  );
  const zoneOf = new Map(yards.map((yard) => [yard.id, yard.timeZone]));
  const vetVisits = request.vetVisits.flatMap((visit, index): VetVisit[] => {
    const zone = zoneOf.get(visit.yardId);
    return zone === undefined
      ? []
      : [
          {
            id: `vet visit ${index + 1}`,
            vetId: visit.vetId,
            placeId: visit.yardId,
            on: visit.on,
            openMs: atLocalTime(visit.on, visit.from, zone),
            closeMs: atLocalTime(visit.on, visit.until, zone),
          },
        ];
  });
  return {
    farriers: request.farrierIds.map((id) => ({ id, skills: weekOf(rota, id).skills })),
    days: farrierDays,
    openings,
    vetVisits,
    resets: resets.map((reset) => dueReset(reset, request, rota)),
    drive,
  };
};
