import type {
  bookReset,
  cancelBooking,
  changeInterval,
  listResets,
  logAttempt,
  Reset,
  startResetCycle,
} from "@heelward/contracts";
import {
  judgeBooking,
  judgeCancellation,
  judgeInterval,
  type ClosedDays,
} from "@heelward/domain/cycle";
import { isAllowed, type Finding } from "@heelward/domain/evidence";
import { localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import { hasRole } from "../../http/actor.ts";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { dayColumn, isoDay, isoOrNull } from "../../http/dates.ts";
import { defined } from "../../http/defined.ts";
import { assertNotFuture } from "../../http/instants.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem, ruleViolated } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import { sendRequired } from "../handoffs/service.ts";
import * as horses from "../horses/service.ts";
import { practicePhone } from "../people/practice.ts";
import {
  breakoverNowMm,
  cyclePhase,
  dueOnFrom,
  forecastLimits,
  moveOf,
  standingOf,
  windowOf,
} from "./standing.ts";
import * as store from "./store.ts";

type ResetQuery = z.output<NonNullable<typeof listResets.query>>;
type NewCycle = z.output<NonNullable<typeof startResetCycle.body>>;
type IntervalChange = z.output<NonNullable<typeof changeInterval.body>>;
type NewBooking = z.output<NonNullable<typeof bookReset.body>>;
type Cancellation = z.output<NonNullable<typeof cancelBooking.body>>;
type Attempt = z.output<NonNullable<typeof logAttempt.body>>;

const BOARD_LIMIT = 2000;

const view = (row: store.ResetRow, nowMs: number): Reset => {
  const window = windowOf(row);
  const standing = standingOf(row, nowMs);
  return {
    id: row.id,
    horse: row.horse,
    yard: row.yard,
    caseId: row.caseId,
    phase: row.phase,
    farrier: row.farrier,
    status: row.status,
    state: standing.state,
    daysLate: standing.daysLate,
    lastDoneOn: isoDay(row.lastDoneOn),
    intervalDays: row.intervalDays,
    dueOn: window.dueOn,
    bookBy: window.bookBy,
    opensOn: window.opensOn,
    ceilingOn: window.ceilingOn,
    latestSafeOn: window.latestSafeOn ?? null,
    reasons: [...standing.reasons],
    lengthenReason: row.lengthenReason,
    breakoverNowMm: breakoverNowMm(row, nowMs),
    breakoverLimitMm: row.breakoverLimitMm,
    bookedFor: isoOrNull(row.bookedFor),
    bookedMinutes: row.bookedMinutes,
    job: row.job,
    whoseMove: moveOf(row, nowMs),
    pausedReason: row.pausedReason,
    attempts: row.attempts.map((attempt) => ({
      ...attempt,
      at: new Date(attempt.at).toISOString(),
    })),
    findings: [...window.findings],
    version: row.version,
  };
};

/** Open resets of the practice; a farrier sees the own list. */
export const list = async ({ tx, actor, nowMs }: Work, query: ResetQuery) => {
  const after = decodeCursor(query.cursor, 2);
  const onlyOwn = hasRole(actor, "farrier") && !hasRole(actor, "vet", "manager");
  const found = await store.findResets(tx, {
    ...query,
    farrierId: query.farrierId ?? (onlyOwn ? actor.personId : undefined),
    isOpen: true,
    after,
    limit: query.state === undefined ? query.limit + 1 : BOARD_LIMIT,
  });
  const matching =
    query.state === undefined
      ? found
      : found.filter((row) => standingOf(row, nowMs).state === query.state);
  const { rows, nextCursor } = toPage(matching, query.limit, (row) => [isoDay(row.dueOn), row.id]);
  return { items: rows.map((row) => view(row, nowMs)), nextCursor };
};

const findRow = async ({ tx }: Work, id: string): Promise<store.ResetRow> => {
  const [row] = await store.findResets(tx, { id, limit: 1 });
  if (row === undefined) throw notFound("reset");
  return row;
};

export const read = async (work: Work, id: string): Promise<Reset> =>
  view(await findRow(work, id), work.nowMs);

export type { ResetRow } from "./store.ts";

/** Open resets as they are stored, for other features' questions. */
export const openRows = (
  { tx }: Work,
  filter: { readonly horseId?: string; readonly farrierId?: string } = {},
): Promise<store.ResetRow[]> =>
  store.findResets(tx, { ...filter, isOpen: true, limit: BOARD_LIMIT });

/** The open reset of a horse, if its cycle runs. */
export const openOf = async ({ tx, nowMs }: Work, horseId: string): Promise<Reset | null> => {
  const [row] = await store.findResets(tx, { horseId, isOpen: true, limit: 1 });
  return row === undefined ? null : view(row, nowMs);
};

const lock = async (work: Work, id: string, seen: number): Promise<store.ResetRow> => {
  const version = await store.lockReset(work.tx, id);
  if (version === null) throw notFound("reset");
  assertVersion(seen, version);
  const row = await findRow(work, id);
  if (row.status === "done" || row.status === "dropped")
    throw new Problem(
      "record-sealed",
      `This reset is ${row.status}; the next one is on the list.`,
      { recordId: id },
    );
  return row;
};

const refuseIfBlocked = (findings: readonly Finding[], otherwise: string): void => {
  if (!isAllowed(findings))
    throw ruleViolated(
      findings.find((finding) => finding.outcome === "block")?.detail ?? otherwise,
      findings,
    );
};

/** What a new cycle starts from. */
export interface CycleStart {
  readonly horseId: string;
  readonly caseId: string | null;
  readonly lastDoneOn: string;
  readonly intervalDays: number;
  readonly farrierId: string | null;
  readonly breakoverAfterMm: number | null;
}

/** Opens the reset that follows from a trim: the due day from the interval, the limit from growth. */
export const openNext = async (work: Work, start: CycleStart): Promise<string> => {
  const { tx, actor, nowMs } = work;
  const horse = await horses.read(work, start.horseId);
  const limits = forecastLimits(
    { ...horse, breakoverAfterMm: start.breakoverAfterMm },
    start.lastDoneOn,
  );
  const id = newId();
  await tx.reset.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId: start.horseId,
      caseId: start.caseId,
      farrierId: start.farrierId,
      status: "open",
      lastDoneOn: dayColumn(start.lastDoneOn),
      intervalDays: start.intervalDays,
      dueOn: dayColumn(dueOnFrom(start.lastDoneOn, start.intervalDays)),
      forecastLimitOn: limits.forecastLimitOn === null ? null : dayColumn(limits.forecastLimitOn),
      likelyLimitOn: limits.likelyLimitOn === null ? null : dayColumn(limits.likelyLimitOn),
      breakoverAfterMm: start.breakoverAfterMm,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "reset.opened",
    subjectType: "reset",
    subjectId: id,
    horseId: start.horseId,
    payload: start,
  });
  work.announce("resets");
  work.announce("queue");
  return id;
};

export const start = async (work: Work, horseId: string, input: NewCycle): Promise<Reset> => {
  const horse = await horses.read(work, horseId);
  if ((await openOf(work, horseId)) !== null)
    throw new Problem("conflict", "This horse's cycle is running already.");
  assertNotFuture(`${input.lastDoneOn}T00:00:00Z`, work.nowMs, "/lastDoneOn");
  if (
    input.farrierId !== undefined &&
    (await work.tx.person.count({
      where: { id: input.farrierId, status: "active", roles: { has: "farrier" } },
    })) !== 1
  )
    throw badField("/farrierId", "is not an active farrier of this practice");
  const found =
    horse.openCaseId === null
      ? null
      : await work.tx.case.findFirst({ where: { id: horse.openCaseId } });
  refuseIfBlocked(
    judgeInterval({
      phase: cyclePhase((found?.phase ?? null) as store.ResetRow["phase"]),
      intervalDays: input.intervalDays,
    }),
    "This interval is not allowed.",
  );
  const id = await openNext(work, {
    horseId,
    caseId: horse.openCaseId,
    lastDoneOn: input.lastDoneOn,
    intervalDays: input.intervalDays,
    farrierId: input.farrierId ?? horse.farrierId,
    breakoverAfterMm: null,
  });
  await recordEvent(work, {
    horseId,
    caseId: horse.openCaseId,
    kind: "reset",
    title: `Reset cycle of ${input.intervalDays} days started`,
    refType: "reset",
    refId: id,
  });
  return read(work, id);
};

/** Sets the interval of a running cycle inside the caller's transaction; used by a signature too. */
export const setInterval = async (
  work: Work,
  row: Pick<store.ResetRow, "id" | "lastDoneOn" | "version">,
  intervalDays: number,
  lengthenReason: string | null,
): Promise<void> => {
  await work.tx.reset.updateMany({
    where: { id: row.id },
    data: {
      intervalDays,
      lengthenReason,
      dueOn: dayColumn(dueOnFrom(isoDay(row.lastDoneOn), intervalDays)),
      version: row.version + 1,
    },
  });
};

/** A vet shortens the interval, or lengthens it with a reason that is kept. */
export const change = async (
  work: Work,
  id: string,
  seen: number,
  input: IntervalChange,
): Promise<Reset> => {
  const row = await lock(work, id, seen);
  const findings = judgeInterval({
    phase: cyclePhase(row.phase),
    intervalDays: input.intervalDays,
    ...(input.lengthenReason === undefined
      ? {}
      : { longerBecause: { reason: input.lengthenReason, signedByRole: "vet" as const } }),
  });
  refuseIfBlocked(findings, "This interval is not allowed.");
  await setInterval(work, row, input.intervalDays, input.lengthenReason ?? null);
  work.audit({
    event: "reset.interval-changed",
    subjectType: "reset",
    subjectId: id,
    horseId: row.horse.id,
    payload: { from: row.intervalDays, ...input },
  });
  await recordEvent(work, {
    horseId: row.horse.id,
    caseId: row.caseId,
    kind: "reset",
    title: `Interval from ${row.intervalDays} to ${input.intervalDays} days`,
    detail: input.lengthenReason ?? null,
    refType: "reset",
    refId: id,
  });
  work.announce("resets");
  work.announce("queue");
  return read(work, id);
};

const closedDays = (row: store.ResetRow): ClosedDays => {
  const openWeekdays = new Set(row.opening.map((window) => window.weekday));
  return {
    dates: row.closedOn.map(isoDay),
    ...(openWeekdays.size === 0
      ? {}
      : { weekdays: [1, 2, 3, 4, 5, 6, 7].filter((day) => !openWeekdays.has(day)) }),
  };
};

const judge = async (
  work: Work,
  row: store.ResetRow,
  bookedFor: string,
  reason: string | undefined,
): Promise<readonly Finding[]> => {
  const plans = await work.tx.prescription.count({
    where: { horseId: row.horse.id, status: { in: ["signed", "accepted", "queried", "done"] } },
  });
  const isVet = hasRole(work.actor, "vet");
  return judgeBooking({
    window: windowOf(row),
    bookedOn: localDateOf(Date.parse(bookedFor), row.yard.timeZone),
    atMs: work.nowMs,
    yardClosed: closedDays(row),
    ...(row.caseId === null ? {} : { planSigned: plans > 0 }),
    ...(reason === undefined
      ? {}
      : { reason, ...(isVet ? { laterBecause: { reason, signedByRole: "vet" } } : {}) }),
  });
};

/** Books a reset inside the caller's transaction. @throws Problem when a rule of the cycle forbids the day. */
export const bookWithin = async (
  work: Work,
  id: string,
  input: {
    readonly bookedFor: string;
    readonly minutes: number;
    readonly farrierId?: string | undefined;
    readonly job?: string | undefined;
    readonly reason?: string | undefined;
  },
): Promise<void> => {
  const row = await findRow(work, id);
  const findings = await judge(work, row, input.bookedFor, input.reason);
  refuseIfBlocked(findings, "This day is not possible.");
  await work.tx.reset.updateMany({
    where: { id },
    data: {
      status: "booked",
      bookedFor: new Date(input.bookedFor),
      bookedMinutes: input.minutes,
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
    payload: { ...input, warnings: findings.filter((finding) => finding.outcome === "warn") },
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
      minutes: row.bookedMinutes ?? 45,
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

/** Notes that somebody tried to reach the owner. */
export const log = async (work: Work, id: string, input: Attempt): Promise<Reset> => {
  const row = await findRow(work, id);
  assertNotFuture(input.at, work.nowMs, "/at");
  await attempt(work, row, "contact", input.detail, Date.parse(input.at));
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

/** Closes the running reset as done, inside the caller's transaction. */
export const finish = async (
  work: Work,
  horseId: string,
  doneAt: Date,
  shoeingRecordId: string,
): Promise<store.ResetRow | null> => {
  const [row] = await store.findResets(work.tx, { horseId, isOpen: true, limit: 1 });
  if (row === undefined) return null;
  await store.lockReset(work.tx, row.id);
  await work.tx.reset.updateMany({
    where: { id: row.id },
    data: { status: "done", doneAt, shoeingRecordId, version: row.version + 1 },
  });
  work.audit({
    event: "reset.done",
    subjectType: "reset",
    subjectId: row.id,
    horseId,
    payload: { doneAt, shoeingRecordId },
  });
  return row;
};
