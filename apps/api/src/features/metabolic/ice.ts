import type { addIceEntry } from "@heelward/contracts";
import { iceLog } from "@heelward/domain/metabolic";
import { MS_PER_DAY, MS_PER_HOUR, startOfDay } from "@heelward/domain/time";
import type { z } from "zod";
import { assertNotFuture } from "../../http/instants.ts";
import { newId } from "../../http/new-id.ts";
import { badField } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import { lockTreatable } from "../medication/course-lock.ts";
import { horseOf } from "../medication/read-model.ts";
import { metabolicFigures } from "./figures.ts";
import * as store from "./store.ts";

type NewIce = z.output<NonNullable<typeof addIceEntry.body>>;

/** One time on ice cannot last longer than this; a longer one is a slip of the clock. Source: house rule. */
const LONGEST_HOURS = 24;
const LOOK_BACK_DAYS = 30;

const entryView = (row: store.IceRow) => ({
  ...row,
  fromAt: row.fromAt.toISOString(),
  toAt: row.toAt.toISOString(),
  feet: [...row.feet],
});

export const add = async (work: Work, horseId: string, input: NewIce) => {
  const { tx, actor, nowMs } = work;
  const { horse } = await lockTreatable(work, horseId, null);
  assertNotFuture(input.toAt, nowMs, "/toAt");
  const fromMs = Date.parse(input.fromAt);
  const toMs = Date.parse(input.toAt);
  if (toMs <= fromMs) throw badField("/toAt", "must lie after the start");
  if (toMs - fromMs > LONGEST_HOURS * MS_PER_HOUR)
    throw badField("/toAt", `is more than ${LONGEST_HOURS} hours after the start; write each day`);
  const id = newId();
  await tx.iceEntry.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId,
      caseId: horse.openCaseId,
      fromAt: new Date(fromMs),
      toAt: new Date(toMs),
      hoofCelsius: input.hoofCelsius ?? null,
      feet: [...new Set(input.feet)],
      recordedBy: actor.personId,
      note: input.note ?? null,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "ice.recorded",
    subjectType: "ice entry",
    subjectId: id,
    horseId,
    payload: input,
  });
  const hours = ((toMs - fromMs) / MS_PER_HOUR).toFixed(1);
  const { iceWarmFromCelsius } = await metabolicFigures(work);
  const isWarm = input.hoofCelsius !== undefined && input.hoofCelsius >= iceWarmFromCelsius;
  await recordEvent(work, {
    horseId,
    caseId: horse.openCaseId,
    kind: "ice",
    title: `On ice ${hours} h (${input.feet.join(", ")})`,
    detail: isWarm
      ? `Hoof at ${input.hoofCelsius} °C: too warm, refill and go higher up the leg.`
      : (input.note ?? null),
    at: toMs,
    refType: "ice entry",
    refId: id,
  });
  const [row] = (await store.findIce(tx, horseId, new Date(toMs))).filter((one) => one.id === id);
  if (row === undefined) throw new Error("the entry just written is not there");
  return entryView(row);
};

/** Entries, hours by day, hours of the last 24, gaps over the limit and readings too warm. */
export const read = async (work: Work, horseId: string, from: string | undefined) => {
  const horse = await horseOf(work, horseId);
  const sinceMs =
    from === undefined
      ? work.nowMs - LOOK_BACK_DAYS * MS_PER_DAY
      : startOfDay(from, horse.timeZone);
  const rows = await store.findIce(work.tx, horseId, new Date(sinceMs));
  const entries = rows.map((row) => ({
    fromMs: row.fromAt.getTime(),
    toMs: row.toAt.getTime(),
    hoofCelsius: row.hoofCelsius ?? undefined,
  }));
  const values = await metabolicFigures(work);
  const log = iceLog(entries, horse.timeZone, values);
  const dayAgoMs = work.nowMs - MS_PER_DAY;
  const last24 = iceLog(
    entries.map((entry) => ({ ...entry, fromMs: Math.max(entry.fromMs, dayAgoMs) })),
    horse.timeZone,
    values,
  );
  return {
    entries: rows.map(entryView),
    totalHours: log.totalHours,
    hoursLast24: last24.totalHours,
    hoursByDay: [...log.hoursByDay],
    gaps: log.gaps.map((gap) => ({
      fromAt: new Date(gap.fromMs).toISOString(),
      toAt: new Date(gap.toMs).toISOString(),
      hours: gap.hours,
    })),
    warmReadings: rows.flatMap((row) =>
      row.hoofCelsius !== null && row.hoofCelsius >= values.iceWarmFromCelsius
        ? [{ entryId: row.id, hoofCelsius: row.hoofCelsius }]
        : [],
    ),
    gapHours: values.iceGapHours,
    maxCelsius: values.iceWarmFromCelsius,
    source: log.source,
  };
};
