import type {
  bookReset,
  cancelBooking,
  checkBooking,
  logAttempt,
  Reset,
} from "@heelward/contracts";
import {
  judgeBooking,
  judgeCancellation,
  readOwnerAnswer,
  type ClosedDays,
  type ContactAnswer,
} from "@heelward/domain/cycle";
import { isAllowed, type Finding } from "@heelward/domain/evidence";
import { addDays, localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import { hasRole } from "../../http/actor.ts";
import { dayColumn, isoDay } from "../../http/dates.ts";
import { defined } from "../../http/defined.ts";
import { assertNotFuture } from "../../http/instants.ts";
import { newId } from "../../http/new-id.ts";
import { badField, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import { sendRequired } from "../handoffs/service.ts";
import { practicePhone, readPractice } from "../people/practice.ts";
import { findRota } from "../rota/read-model.ts";
import { isOffForBooking, weekOf } from "../rota/working-hours.ts";
import { findRow, lock, read, refuseIfBlocked } from "./rows.ts";
import { dayLoad } from "./day-load.ts";
import { filmNeed, minutesOf, skillsOf, windowOf } from "./standing.ts";
import type * as store from "./store.ts";

type NewBooking = z.output<NonNullable<typeof bookReset.body>>;
type Question = z.output<NonNullable<typeof checkBooking.body>>;
type Cancellation = z.output<NonNullable<typeof cancelBooking.body>>;
type Attempt = z.output<NonNullable<typeof logAttempt.body>>;

/** A cover sees the horse for this long after the visit, for questions and loose shoes (house rule). */
const COVER_DAYS_AFTER = 14;

/** Days on which nobody is let into the yard. */
export const closedDays = (row: store.ResetRow): ClosedDays => {
  const openWeekdays = new Set(row.opening.map((window) => window.weekday));
  return {
    dates: row.closedOn.map(isoDay),
    ...(openWeekdays.size === 0
      ? {}
      : { weekdays: [1, 2, 3, 4, 5, 6, 7].filter((day) => !openWeekdays.has(day)) }),
  };
};

/** What the rules say of a date for this reset and farrier, before anything is written. */
export const judge = async (
  work: Work,
  row: store.ResetRow,
  bookedFor: string,
  reason: string | undefined,
  farrierId: string | null = row.farrier?.id ?? null,
): Promise<readonly Finding[]> => {
  const atMs = Date.parse(bookedFor);
  const plans = await work.tx.prescription.count({
    where: { horseId: row.horse.id, status: { in: ["signed", "accepted", "queried", "done"] } },
  });
  const isVet = hasRole(work.actor, "vet");
  const bookedOn = localDateOf(atMs, row.yard.timeZone);
  const practice = await readPractice(work);
  const farrierOn = localDateOf(atMs, practice.timeZone);
  const rota = await findRota(work.tx, farrierOn);
  return judgeBooking({
    window: windowOf(row),
    bookedOn,
    atMs: work.nowMs,
    yardClosed: closedDays(row),
    ...(farrierId === null
      ? {}
      : {
          // The farrier's days are counted in the practice's zone, the booking in the yard's.
          farrierClosed: { dates: isOffForBooking(rota, farrierId, farrierOn) ? [bookedOn] : [] },
          skillsNeeded: skillsOf(row),
          farrierSkills: weekOf(rota, farrierId).skills,
        }),
    ...(row.pausedReason === null
      ? {}
      : { pauses: [{ kind: "hospital" as const, fromOn: isoDay(row.lastDoneOn) }] }),
    ...(filmNeed({ ...row, bookedFor: new Date(bookedFor) }) === null
      ? {}
      : { filmsMissing: true }),
    ...(row.caseId === null ? {} : { planSigned: plans > 0 }),
    ...(reason === undefined
      ? {}
      : { reason, ...(isVet ? { laterBecause: { reason, signedByRole: "vet" } } : {}) }),
  });
};

/** A farrier who takes over a horse's visit sees the horse, its films and its plan until some days after. */
export const letSee = async (
  { tx, actor }: Work,
  row: Pick<store.ResetRow, "horse">,
  farrierId: string,
  visitOn: string,
): Promise<void> => {
  const horse = await tx.horse.findFirst({ where: { id: row.horse.id } });
  if (horse === null || horse.farrierId === farrierId) return;
  const key = { practiceId: actor.practiceId, horseId: row.horse.id, personId: farrierId };
  const untilOn = dayColumn(addDays(visitOn, COVER_DAYS_AFTER));
  await tx.horseCover.upsert({
    where: { practiceId_horseId_personId: key },
    create: { ...key, untilOn },
    update: { untilOn },
  });
};

/** Books a reset inside the caller's transaction. @throws Problem when a rule of the cycle forbids the day. */
export const bookWithin = async (
  work: Work,
  id: string,
  input: {
    readonly bookedFor: string;
    /** By horse and kind of job if left out. */
    readonly minutes?: number | undefined;
    readonly farrierId?: string | undefined;
    readonly job?: string | undefined;
    readonly reason?: string | undefined;
  },
): Promise<void> => {
  const row = await findRow(work, id);
  const farrierId = input.farrierId ?? row.farrier?.id ?? null;
  const findings = await judge(work, row, input.bookedFor, input.reason, farrierId);
  refuseIfBlocked(findings, "This day is not possible.");
  const minutes = input.minutes ?? row.bookedMinutes ?? minutesOf(row);
  const atMs = Date.parse(input.bookedFor);
  const load =
    farrierId === null ? null : await dayLoad(work, { resetId: id, farrierId, atMs, minutes });
  const warnings = [...findings, ...(load?.findings ?? [])].filter(
    (finding) => finding.outcome === "warn",
  );
  if (input.farrierId !== undefined)
    await letSee(
      work,
      row,
      input.farrierId,
      localDateOf(Date.parse(input.bookedFor), row.yard.timeZone),
    );
  await work.tx.reset.updateMany({
    where: { id },
    data: {
      status: "booked",
      bookedFor: new Date(input.bookedFor),
      bookedMinutes: minutes,
      // An answer was about the old date.
      ownerAnswer: null,
      ownerAnsweredAt: null,
      version: row.version + 1,
      ...defined({ farrierId: input.farrierId, job: input.job }),
    },
  });
  const isMove = row.status === "booked";
  if (isMove)
    await attempt(
      work,
      row,
      "rebooked",
      `Moved from ${row.bookedFor?.toISOString() ?? "no date"} to ${input.bookedFor}${input.reason === undefined ? "" : `: ${input.reason}`}`,
      work.nowMs,
    );
  work.audit({
    event: "reset.booked",
    subjectType: "reset",
    subjectId: id,
    horseId: row.horse.id,
    payload: { ...input, warnings },
  });
  const day = localDateOf(Date.parse(input.bookedFor), row.yard.timeZone);
  await recordEvent(work, {
    horseId: row.horse.id,
    caseId: row.caseId,
    kind: "reset",
    title: `Reset ${isMove ? "moved to" : "booked for"} ${day}`,
    detail: input.reason ?? null,
    refType: "reset",
    refId: id,
    forOwner: `The farrier's next visit is booked for ${day}.`,
  });
  work.announce("resets");
  work.announce("queue");
};

export const book = async (
  work: Work,
  id: string,
  seen: number,
  input: NewBooking,
): Promise<Reset> => {
  await lock(work, id, seen);
  if (
    input.farrierId !== undefined &&
    (await work.tx.person.count({
      where: { id: input.farrierId, status: "active", roles: { has: "farrier" } },
    })) !== 1
  )
    throw badField("/farrierId", "is not an active farrier of this practice");
  await bookWithin(work, id, input);
  return read(work, id);
};

const attempt = async (
  work: Work,
  row: Pick<store.ResetRow, "id" | "horse">,
  kind: store.ResetRow["attempts"][number]["kind"],
  detail: string,
  atMs: number,
  contact: {
    readonly channel?: "text" | "call" | "mail" | "in person" | undefined;
    readonly answer?: ContactAnswer | undefined;
  } = {},
): Promise<void> => {
  await work.tx.resetAttempt.create({
    data: {
      practiceId: work.actor.practiceId,
      id: newId(),
      horseId: row.horse.id,
      resetId: row.id,
      at: new Date(atMs),
      kind,
      detail,
      channel: contact.channel ?? null,
      answer: contact.answer ?? null,
      madeBy: work.actor.personId,
      createdAt: new Date(work.nowMs),
    },
  });
};

/** A booked visit did not happen. The due day stays; a new date or a named person is needed before it is saved. */
export const cancel = async (
  work: Work,
  id: string,
  seen: number,
  input: Cancellation,
): Promise<Reset> => {
  const row = await lock(work, id, seen);
  if (row.status !== "booked") throw new Problem("conflict", "Nothing is booked for this reset.");
  const person =
    input.personToRebook === undefined
      ? null
      : await work.tx.person.findFirst({ where: { id: input.personToRebook, status: "active" } });
  if (input.personToRebook !== undefined && person === null)
    throw badField("/personToRebook", "is not an active person of this practice");
  const newDate =
    input.rebookFor === undefined
      ? undefined
      : localDateOf(Date.parse(input.rebookFor), row.yard.timeZone);
  const judged = judgeCancellation({
    dueOn: isoDay(row.dueOn),
    outcome: input.kind,
    ...defined({
      newDate,
      noDateBecause: input.rebookFor === undefined ? input.detail : undefined,
      namedPersonId: input.personToRebook,
    }),
  });
  refuseIfBlocked(judged.findings, "Rebook it, or name who will.");
  await attempt(
    work,
    row,
    input.kind,
    person === null ? input.detail : `${input.detail} ${person.name} finds a new date.`,
    work.nowMs,
  );
  await work.tx.reset.updateMany({
    where: { id },
    data: { status: "open", bookedFor: null, bookedMinutes: null, version: seen + 1 },
  });
  work.audit({
    event: "reset.not-done",
    subjectType: "reset",
    subjectId: id,
    horseId: row.horse.id,
    payload: input,
  });
  await recordEvent(work, {
    horseId: row.horse.id,
    caseId: row.caseId,
    kind: "reset",
    title: `Visit not done: ${input.kind}`,
    detail: input.detail,
    refType: "reset",
    refId: id,
  });
  if (input.rebookFor !== undefined)
    await bookWithin(work, id, {
      bookedFor: input.rebookFor,
      minutes: row.bookedMinutes ?? undefined,
      reason: input.detail,
    });
  await sendRequired(
    work,
    { horseId: row.horse.id, caseId: row.caseId, refType: "reset", refId: id },
    {
      kind: "reset missed",
      horseName: row.horse.name,
      dueOn: isoDay(row.dueOn),
      outcome: input.kind,
      farrierName: row.farrier?.name ?? "none yet",
      ringNumber: await practicePhone(work),
      ...(newDate === undefined ? {} : { newDate }),
    },
  );
  work.announce("resets");
  work.announce("queue");
  return read(work, id);
};

/** Notes that somebody tried to reach the owner, and what the owner answered: the board follows. */
export const log = async (work: Work, id: string, input: Attempt): Promise<Reset> => {
  const row = await findRow(work, id);
  assertNotFuture(input.at, work.nowMs, "/at");
  const answer = input.reply === undefined ? undefined : readOwnerAnswer(input.reply);
  await attempt(
    work,
    row,
    "contact",
    input.reply === undefined ? input.detail : `${input.detail} Answer: ${input.reply}`,
    Date.parse(input.at),
    { channel: input.channel, answer },
  );
  if (answer !== undefined)
    await work.tx.reset.updateMany({
      where: { id },
      data: { ownerAnswer: answer, ownerAnsweredAt: new Date(input.at) },
    });
  work.audit({
    event: "reset.contact-logged",
    subjectType: "reset",
    subjectId: id,
    horseId: row.horse.id,
    payload: input,
  });
  work.announce("resets");
  return read(work, id);
};

/** What the rules say of a date before it is booked, and how long the farrier's day gets. */
export const check = async (
  work: Work,
  id: string,
  input: Question,
): Promise<z.input<typeof checkBooking.response>> => {
  const row = await findRow(work, id);
  const farrierId = input.farrierId ?? row.farrier?.id ?? null;
  const minutes = input.minutes ?? minutesOf(row);
  const findings = await judge(work, row, input.bookedFor, undefined, farrierId);
  const load =
    farrierId === null
      ? { findings: [], dayMinutes: minutes, dayLengthMinutes: null }
      : await dayLoad(work, {
          resetId: id,
          farrierId,
          atMs: Date.parse(input.bookedFor),
          minutes,
        });
  return {
    isAllowed: isAllowed(findings),
    findings: [...findings, ...load.findings],
    minutes,
    dayMinutes: load.dayMinutes,
    dayLengthMinutes: load.dayLengthMinutes,
  };
};
