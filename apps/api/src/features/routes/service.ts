import { json, type readRouteDay, type RouteDay } from "@heelward/contracts";
import { addDays, MS_PER_DAY, MS_PER_HOUR, atLocalTime, startOfDay } from "@heelward/domain/time";
import { CIRCUITY, SPEED_KMH, toGeoJson } from "@heelward/routing";
import type { z } from "zod";
import { hasRole } from "../../http/actor.ts";
import { isoDay } from "../../http/dates.ts";
import { notFound, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { readPractice } from "../people/practice.ts";
import * as resets from "../resets/read-model.ts";
import { ownSettings } from "../settings/values.ts";
import { HOUSE_DAY } from "./house-day.ts";
import { draftJobs, isUrgent, jobsOf, notBooked } from "./jobs.ts";
import { localClock, localInstant } from "./local-clock.ts";
import { estimatedDrives, type DriveTimesProvider } from "./drive-times.ts";
import { dayPlaces, planDay, withoutStart, type YardVisit } from "./plan-day.ts";
import { oneDecimal, showStop } from "./show-stop.ts";
import * as store from "./store.ts";

type DayQuery = z.output<NonNullable<typeof readRouteDay.query>>;

/** The search stops here and says how good its answer is at least. */
const SEARCH_MS = 1500;
const MOST_RESETS = 1000;

const badQuery = (name: string, detail: string): Problem =>
  new Problem("malformed-request", `${name}: ${detail}`, {
    errors: [{ pointer: `#query/${name}`, detail }],
  });

/** Whose day it is: a farrier's own, or the one a vet or manager names. */
export const readFarrier = async ({ tx, actor }: Work, asked: string | undefined) => {
  const id = asked ?? (hasRole(actor, "farrier") ? actor.personId : undefined);
  if (id === undefined) throw badQuery("farrierId", "name the farrier whose day you want");
  if (id !== actor.personId && !hasRole(actor, "vet", "manager"))
    throw new Problem("forbidden", "This is another farrier's day.", {
      requiredRoles: ["vet", "manager"],
    });
  const farrier = await tx.person.findFirst({
    where: { id, status: "active", roles: { has: "farrier" } },
  });
  if (farrier === null) throw notFound("farrier");
  return { id: farrier.id, name: farrier.name };
};

const readStart = (query: DayQuery, practice: { lat: number | null; lon: number | null }) => {
  if ((query.startLat === undefined) !== (query.startLon === undefined))
    throw badQuery(
      query.startLat === undefined ? "startLat" : "startLon",
      "latitude and longitude go together",
    );
  const lat = query.startLat ?? practice.lat;
  const lon = query.startLon ?? practice.lon;
  return lat === null || lon === null ? null : { lat, lon };
};

/**
 * A farrier's booked visits of a day in the best order. It proposes: the person who drives decides,
 * and a horse in trouble comes first whatever the plan says.
 */
export const readDay = async (
  work: Work,
  date: string,
  query: DayQuery,
  roads: DriveTimesProvider = estimatedDrives,
): Promise<RouteDay> => {
  const { tx } = work;
  const farrier = await readFarrier(work, query.farrierId);
  const practice = await readPractice(work);
  const own = await ownSettings(work, { circuity: CIRCUITY, speed: SPEED_KMH, ...HOUSE_DAY }, date);
  const zone = practice.timeZone;
  const plannedStartMs = atLocalTime(date, query.startTime, zone);
  const base = readStart(query, practice);
  // The day goes on from where and when the last word of a delay left it.
  const delay = await store.lastDelay(tx, farrier.id, date);
  const startMs = Math.max(plannedStartMs, delay?.freeAt.getTime() ?? plannedStartMs);
  const start = delay?.at ?? base;
  const end = base ?? start;
  const filter = { farrierId: farrier.id, isOpen: true, limit: MOST_RESETS };
  // Yards may lie in another zone than the practice: a day either side, then by the yard's own day.
  const nearMs = startOfDay(date, zone);
  const booked = await resets.findResets(work, {
    ...filter,
    bookedBetween: [new Date(nearMs - MS_PER_DAY), new Date(nearMs + 2 * MS_PER_DAY)],
  });
  const open = await resets.findResets(work, {
    ...filter,
    dueBefore: addDays(date, 60),
  });
  const allJobs = jobsOf(booked, date, work.nowMs, own.usualVisit.value);
  const jobs = [
    ...allJobs.filter((job) => delay?.underWay.includes(job.row.id) !== true),
    ...(query.include === "due" ? draftJobs(open, date, work.nowMs) : []),
  ];
  const problems = [
    ...(delay === null
      ? []
      : [`Planned again from ${localClock(startMs, zone)}: the farrier is running late.`]),
    ...allJobs
      .filter((job) => !jobs.includes(job))
      .map((job) => `${job.row.horse.name} at ${job.row.yard.name} is being done now.`),
    ...notBooked(open, date, own.lookAhead.value),
  ];
  const yardIds = [...new Set(jobs.map((job) => job.row.yard.id))];
  const yards = new Map(
    (await tx.yard.findMany({ where: { id: { in: yardIds } } })).map((yard) => [yard.id, yard]),
  );
  const jobsAt = (yardId: string) => jobs.filter((job) => job.row.yard.id === yardId);
  const visits = yardIds.flatMap((yardId): YardVisit[] => {
    const yard = yards.get(yardId);
    const here = jobsAt(yardId);
    const first = here[0];
    return yard === undefined || first === undefined
      ? []
      : [
          {
            yardId,
            lat: yard.lat,
            lon: yard.lon,
            timeZone: yard.timeZone,
            opening: first.row.opening,
            closedOn: yard.closedOn.map(isoDay),
            serviceMinutes: here.reduce((sum, job) => sum + job.minutes, 0),
            isUrgent: here.some(isUrgent),
          },
        ];
  });
  if (start === null && visits.length > 0)
    problems.push(
      "The practice has no place on the map yet: the first and the last drive are not counted. Give a start, or enter the practice's place.",
    );
  const places = dayPlaces(visits, start, end);
  const answer = await roads.matrix(places, {
    circuity: own.circuity.value,
    speedKmh: own.speed.value,
  });
  const { route, unplanned } = planDay(
    visits,
    {
      date,
      startMs,
      endMs: plannedStartMs + own.longestDay.value * MS_PER_HOUR,
      drive: start === null ? withoutStart(answer.drive) : answer.drive,
    },
    { nowMs: () => performance.now(), timeLimitMs: SEARCH_MS },
  );
  const plans = await store.currentPlans(
    tx,
    jobs.map((job) => job.row.horse.id),
  );
  const shown = (route?.stops ?? []).flatMap((stop) => {
    const yard = yards.get(stop.placeId);
    return yard === undefined
      ? []
      : [showStop(stop, yard, jobsAt(stop.placeId), plans, own.toldTime.value)];
  });
  problems.push(...shown.flatMap((one) => one.problems));
  const stops = shown.map((one) => one.stop);
  if (route !== null && route.returnMs - route.departMs > own.longDay.value * MS_PER_HOUR)
    problems.push(
      `This day runs ${oneDecimal((route.returnMs - route.departMs) / MS_PER_HOUR)} hours from start to finish.`,
    );
  return {
    date,
    farrier,
    stops,
    totalKm: oneDecimal((route?.totalTravelMetres ?? 0) / 1000),
    totalDriveMinutes: Math.round((route?.totalTravelSeconds ?? 0) / 60),
    workMinutes: stops.flatMap((stop) => stop.horses).reduce((sum, one) => sum + one.minutes, 0),
    start,
    departsAt: route === null ? null : localInstant(route.departMs, zone),
    endsAt: route === null ? null : localInstant(route.returnMs, zone),
    proof: route?.proof ?? "nothing to plan",
    problems,
    unplanned: unplanned.flatMap(({ yardId, reason }) =>
      jobsAt(yardId).map((job) => ({
        horse: job.row.horse.name,
        reason: `${job.row.yard.name}: ${reason}`,
      })),
    ),
    map: route === null || start === null ? null : json.parse(toGeoJson(route, places)),
  };
};
