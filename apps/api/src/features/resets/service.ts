import type { changeInterval, Reset, startResetCycle } from "@heelward/contracts";
import { judgeInterval, runningIntervalAfter } from "@heelward/domain/cycle";
import { localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import { dayColumn, isoDay } from "../../http/dates.ts";
import { assertNotFuture } from "../../http/instants.ts";
import { newId } from "../../http/new-id.ts";
import { badField, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as horses from "../horses/service.ts";
import { figuresBeginning } from "../settings/values.ts";
import { growthOf } from "../shoeing/growth.ts";
import { lock, openOf, read, refuseIfBlocked } from "./rows.ts";
import { cyclePhase, dueOnFrom, forecastLimits } from "./standing.ts";
import * as store from "./store.ts";

export { book, bookWithin, cancel, check, judge, letSee, log } from "./booking.ts";
export { findRow as readRow, list, openOf, openRows, read } from "./rows.ts";
export type { ResetRow } from "./store.ts";

type NewCycle = z.output<NonNullable<typeof startResetCycle.body>>;
type IntervalChange = z.output<NonNullable<typeof changeInterval.body>>;

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
    {
      ...horse,
      growth: await growthOf(work, start.horseId),
      breakoverAfterMm: start.breakoverAfterMm,
      ownFigures: Object.fromEntries(
        await figuresBeginning(work, "growth.", localDateOf(nowMs, horse.yard.timeZone)),
      ),
    },
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
      lengthenReason: await store.signedLengthening(tx, start.horseId, start.intervalDays),
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
    judgeInterval(
      {
        phase: cyclePhase((found?.phase ?? null) as store.ResetRow["phase"]),
        intervalDays: input.intervalDays,
      },
      Object.fromEntries(
        await figuresBeginning(work, "cycle.", localDateOf(work.nowMs, horse.yard.timeZone)),
      ),
    ),
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

const setInterval = async (
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

/**
 * What a plan signed in the middle of a cycle does to it, inside the signature's transaction: a
 * shorter interval pulls the due day earlier, a longer one waits for the next reset.
 */
export const followSignedInterval = async (
  work: Work,
  horseId: string,
  signedDays: number,
): Promise<void> => {
  const [row] = await store.findResets(work, { horseId, isOpen: true, limit: 1 });
  if (row === undefined) return;
  const days = runningIntervalAfter(row.intervalDays, signedDays);
  if (days === row.intervalDays) return;
  await setInterval(work, row, days, null);
  work.audit({
    event: "reset.interval-changed",
    subjectType: "reset",
    subjectId: row.id,
    horseId,
    payload: { from: row.intervalDays, intervalDays: days },
  });
  work.announce("resets");
};

/** A vet shortens the interval, or lengthens it with a reason that is kept. */
export const change = async (
  work: Work,
  id: string,
  seen: number,
  input: IntervalChange,
): Promise<Reset> => {
  const row = await lock(work, id, seen);
  const findings = judgeInterval(
    {
      phase: cyclePhase(row.phase),
      intervalDays: input.intervalDays,
      runningDays: row.intervalDays,
      ...(input.lengthenReason === undefined
        ? {}
        : { longerBecause: { reason: input.lengthenReason, signedByRole: "vet" as const } }),
    },
    row.ownFigures ?? {},
  );
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

/** Closes the running reset as done, inside the caller's transaction. */
export const finish = async (
  work: Work,
  horseId: string,
  doneAt: Date,
  shoeingRecordId: string,
): Promise<store.ResetRow | null> => {
  const [row] = await store.findResets(work, { horseId, isOpen: true, limit: 1 });
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
