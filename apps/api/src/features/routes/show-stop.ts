import type { RouteDay } from "@heelward/contracts";
import { MS_PER_MINUTE } from "@heelward/domain/time";
import { geoUri, type PlannedStop } from "@heelward/routing";
import type { Job } from "./jobs.ts";
import { localClock, localInstant } from "./local-clock.ts";

type Stop = RouteDay["stops"][number];

/** A yard as a stop shows it. */
export type StopYard = Stop["yard"] & { readonly timeZone: string };

export const oneDecimal = (value: number): number => Math.round(value * 10) / 10;

/** Horses that come at another time than their yard was told. */
const movedTimes = (
  jobs: readonly Job[],
  startMs: number,
  { name, timeZone }: StopYard,
  toldMinutes: number,
): readonly string[] => {
  let atMs = startMs;
  return jobs.flatMap((job) => {
    const plannedMs = atMs;
    atMs += job.minutes * MS_PER_MINUTE;
    // What has no date yet was told to nobody.
    if (job.bookedForMs === null) return [];
    return Math.abs(plannedMs - job.bookedForMs) <= toldMinutes * MS_PER_MINUTE
      ? []
      : [
          `${job.row.horse.name} at ${name} was booked for ${localClock(job.bookedForMs, timeZone)} and is planned for ${localClock(plannedMs, timeZone)}: tell the yard.`,
        ];
  });
};

/** A planned stop with its horses, times on the yard's clock, and what has to be told. */
export const showStop = (
  stop: PlannedStop,
  yard: StopYard,
  jobs: readonly Job[],
  plans: ReadonlyMap<string, string>,
  toldMinutes: number,
): { readonly stop: Stop; readonly problems: readonly string[] } => ({
  problems: movedTimes(jobs, stop.startMs, yard, toldMinutes),
  stop: {
    resetIds: jobs.map((job) => job.row.id),
    yard: {
      id: yard.id,
      name: yard.name,
      lat: yard.lat,
      lon: yard.lon,
      accessNotes: yard.accessNotes,
      phone: yard.phone,
    },
    horses: jobs.map((job) => ({
      id: job.row.horse.id,
      name: job.row.horse.name,
      caseId: job.row.caseId,
      job: job.row.job ?? "trim and reset",
      minutes: job.minutes,
      state: job.standing.state,
      why: job.standing.reasons.join("; "),
      prescriptionId: plans.get(job.row.horse.id) ?? null,
      bookedFor: job.bookedForMs === null ? null : localInstant(job.bookedForMs, yard.timeZone),
    })),
    arriveAt: localInstant(stop.arriveMs, yard.timeZone),
    startAt: localInstant(stop.startMs, yard.timeZone),
    leaveAt: localInstant(stop.leaveMs, yard.timeZone),
    slackMinutes: Math.floor(stop.slackMs / MS_PER_MINUTE),
    driveKm: oneDecimal(stop.driveMetres / 1000),
    driveMinutes: Math.round(stop.driveSeconds / 60),
    geoLink: geoUri({ latDegrees: yard.lat, lonDegrees: yard.lon }),
  },
});
