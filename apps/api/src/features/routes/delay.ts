import type { reportDelay, RouteDay } from "@heelward/contracts";
import { localDateOf, MS_PER_HOUR, MS_PER_MINUTE, startOfDay } from "@heelward/domain/time";
import type { z } from "zod";
import type { Dependencies } from "../../app.ts";
import { dayColumn } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { badField } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { queueLetter } from "../../mail/outbox.ts";
import { recordEvent } from "../cases/events.ts";
import { write } from "../handoffs/service.ts";
import { readPractice } from "../people/practice.ts";
import { readRow, type ResetRow } from "../resets/service.ts";
import { silence } from "../reminders/send.ts";
import { ownSettings } from "../settings/values.ts";
import { HOUSE_DAY } from "./house-day.ts";
import { localClock } from "./local-clock.ts";
import { readDay, readFarrier } from "./service.ts";
import * as store from "./store.ts";

type Delay = z.output<NonNullable<typeof reportDelay.body>>;
type Answer = z.input<typeof reportDelay.response>;

const STANDARD_START = "08:00";
/** Nobody is late for a day further off than this. */
const LATEST_HOURS = 16;

interface Moved {
  readonly row: ResetRow;
  readonly wasMs: number;
  readonly nowMs: number | null;
}

/** When each visit would begin now; null where it no longer fits. */
const newStarts = (day: RouteDay): ReadonlyMap<string, number> => {
  const starts = new Map<string, number>();
  for (const stop of day.stops) {
    let atMs = Date.parse(stop.startAt);
    stop.horses.forEach((horse, index) => {
      const resetId = stop.resetIds[index];
      if (resetId !== undefined) starts.set(resetId, atMs);
      atMs += horse.minutes * MS_PER_MINUTE;
    });
  }
  return starts;
};

const letOwnersKnow = async (
  work: Work,
  row: ResetRow,
  mail: Dependencies["mail"],
): Promise<void> => {
  if (mail === undefined || (await silence(work.tx, row)) !== null) return;
  const event = await work.tx.caseEvent.findFirst({
    where: { horseId: row.horse.id, refId: row.id, title: LATE_TITLE },
    orderBy: { id: "desc" },
  });
  if (event === null) return;
  const links = await work.tx.horsePerson.findMany({ where: { horseId: row.horse.id } });
  const owners = await work.tx.person.findMany({
    where: { id: { in: links.map((link) => link.personId) }, status: "active" },
  });
  for (const owner of owners)
    // A horse has one or two.
    // oxlint-disable-next-line no-await-in-loop
    await queueLetter(work.tx, work.actor.practiceId, work.nowMs, "visit moved", {
      caseEventId: event.id,
      to: owner.email,
    });
  work.announce("outbox");
};

const LATE_TITLE = "Farrier running late";

/** Tells a yard and the owners of one visit. */
const tell = async (
  work: Work,
  { row, wasMs, nowMs }: Moved,
  farrier: string,
  note: string | undefined,
  mail: Dependencies["mail"],
): Promise<void> => {
  const zone = row.yard.timeZone;
  const was = localClock(wasMs, zone);
  const words =
    nowMs === null
      ? `${farrier} is running late and cannot come to ${row.horse.name} today; the visit was booked for ${was}. The practice rings about another time.`
      : `${farrier} is running late: ${row.horse.name} now about ${localClock(nowMs, zone)} in place of ${was}.`;
  const situation = note === undefined ? words : `${words} ${note}`;
  await write(work, {
    horseId: row.horse.id,
    toRole: "carer",
    urgent: false,
    situation: situation.slice(0, 400),
    mustDo:
      nowMs === null
        ? "Leave the horse comfortable; ring if it looks worse."
        : "Have the horse in and dry for the new time.",
  });
  if (nowMs === null)
    await write(work, {
      horseId: row.horse.id,
      toRole: "manager",
      urgent: true,
      situation: situation.slice(0, 400),
      mustDo: "Rebook this visit inside its limits today.",
    });
  await recordEvent(work, {
    horseId: row.horse.id,
    caseId: row.caseId,
    kind: "reset",
    title: LATE_TITLE,
    detail: situation,
    refType: "reset",
    refId: row.id,
    forOwner: words,
  });
  await letOwnersKnow(work, row, mail);
};

/**
 * A farrier runs late: the rest of the day is planned again from when and where he is free, and
 * every yard whose time moves by more than half an hour is told, once for each new time.
 */
export const delayDay = async (
  work: Work,
  date: string,
  input: Delay,
  { mail, roads }: Pick<Dependencies, "mail" | "roads">,
): Promise<Answer> => {
  const { tx, actor, nowMs } = work;
  const farrier = await readFarrier(work, input.farrierId);
  const { timeZone } = await readPractice(work);
  const freeMs = Date.parse(input.freeAt);
  if (localDateOf(freeMs, timeZone) !== date) throw badField("/freeAt", "is on another day");
  if (freeMs < nowMs - MS_PER_HOUR) throw badField("/freeAt", "has passed");
  if (freeMs > nowMs + LATEST_HOURS * MS_PER_HOUR) throw badField("/freeAt", "is too far off");
  const query = { farrierId: farrier.id, startTime: STANDARD_START, include: "booked" as const };
  const before = await readDay(work, date, query, roads);
  const from = new Date(startOfDay(date, timeZone));
  const at = input.at ?? (await store.lastDoneAt(tx, farrier.id, from, new Date(nowMs)));
  await tx.dayDelay.create({
    data: {
      practiceId: actor.practiceId,
      id: newId(),
      farrierId: farrier.id,
      dayOn: dayColumn(date),
      reportedAt: new Date(nowMs),
      freeAt: new Date(freeMs),
      lat: at?.lat ?? null,
      lon: at?.lon ?? null,
      underWay: input.underWay,
      note: input.note ?? null,
      reportedBy: actor.personId,
      createdAt: new Date(nowMs),
    },
  });
  const day = await readDay(work, date, query, roads);
  const { toldTime } = await ownSettings(work, { toldTime: HOUSE_DAY.toldTime }, date);
  const starts = newStarts(day);
  const startsBefore = newStarts(before);
  const told: Answer["told"] = [];
  for (const resetId of await bookedIds(work, farrier.id, date, input.underWay)) {
    // Each visit is told in turn: its note takes its place in the audit chain.
    // oxlint-disable-next-line no-await-in-loop
    const row = await readRow(work, resetId);
    const bookedMs = row.bookedFor?.getTime();
    if (bookedMs === undefined) continue;
    // What the yard was last told: the time of an earlier delay, or the booking.
    const hasHeard = before.problems.some((one) => one.startsWith("Planned again"));
    const earlier = startsBefore.get(resetId);
    const wasMs = hasHeard && earlier !== undefined ? earlier : bookedMs;
    const now = starts.get(resetId) ?? null;
    const isMoved = now === null || Math.abs(now - wasMs) > toldTime.value * MS_PER_MINUTE;
    if (!isMoved || (now === null && hasHeard && earlier === undefined)) continue;
    // oxlint-disable-next-line no-await-in-loop
    await tell(work, { row, wasMs, nowMs: now }, farrier.name, input.note, mail);
    told.push({
      horse: row.horse.name,
      yard: row.yard.name,
      was: new Date(wasMs).toISOString(),
      now: now === null ? null : new Date(now).toISOString(),
    });
  }
  work.audit({
    event: "route-day.delayed",
    subjectType: "person",
    subjectId: farrier.id,
    horseId: null,
    payload: { date, freeAt: input.freeAt, told: told.length },
  });
  work.announce("resets");
  work.announce("queue");
  return { day, told };
};

const bookedIds = async (
  { tx }: Work,
  farrierId: string,
  date: string,
  underWay: readonly string[],
): Promise<readonly string[]> => {
  const rows = await store.bookedOn(tx, farrierId, date);
  return rows.filter((id) => !underWay.includes(id));
};
