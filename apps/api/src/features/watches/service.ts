import type { LimbWatch, startLimbWatch } from "@heelward/contracts";
import { supportLimbChecksDue, supportLimbWatch } from "@heelward/domain/cases";
import { localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import { isoOrNull } from "../../http/dates.ts";
import { defined } from "../../http/defined.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as horses from "../horses/service.ts";
import * as store from "./store.ts";

type Entering = z.output<NonNullable<typeof startLimbWatch.body>>;

const view = async ({ tx, nowMs }: Work, row: store.WatchRow): Promise<LimbWatch> => {
  const watch = supportLimbWatch({
    injuredFoot: row.hurtLimb,
    inCast: true,
    since: localDateOf(row.startedAt.getTime(), row.timeZone),
  });
  const checks = await store.findChecksSince(tx, row);
  const counted =
    watch === undefined || row.endedAt !== null
      ? { due: 0, missedYesterday: 0 }
      : supportLimbChecksDue(
          watch,
          checks.map((at) => localDateOf(at.getTime(), row.timeZone)),
          localDateOf(nowMs, row.timeZone),
        );
  return {
    id: row.id,
    horseId: row.horseId,
    horseName: row.horseName,
    hurtLimb: row.hurtLimb,
    watchedFoot: row.watchedFoot,
    cause: row.cause,
    because: row.because,
    checksPerDay: watch?.checksPerDay ?? 0,
    dueToday: counted.due,
    missedYesterday: counted.missedYesterday,
    lastCheckAt: isoOrNull(checks.at(-1) ?? null),
    startedBy: row.startedBy,
    startedAt: row.startedAt.toISOString(),
    endedAt: isoOrNull(row.endedAt),
    endReason: row.endReason,
    version: row.version,
  };
};

const read = async (work: Work, id: string): Promise<LimbWatch> => {
  const [row] = await store.findWatches(work.tx, { id });
  if (row === undefined) throw notFound("watch");
  return view(work, row);
};

const viewAll = async (work: Work, rows: readonly store.WatchRow[]): Promise<LimbWatch[]> => {
  const items: LimbWatch[] = [];
  for (const row of rows)
    // One transaction has one connection; few feet are watched at a time.
    // oxlint-disable-next-line no-await-in-loop
    items.push(await view(work, row));
  return items;
};

export const list = async (work: Work, horseId: string) => {
  await horses.read(work, horseId);
  return { items: await viewAll(work, await store.findWatches(work.tx, { horseId })) };
};

/** Every foot under watch, those with the most checks still to make first. */
export const listOpen = async (work: Work, yardId: string | undefined) => {
  const items = await viewAll(work, await store.findWatches(work.tx, { isOpen: true, yardId }));
  return { items: items.toSorted((a, b) => b.dueToday - a.dueToday) };
};

/**
 * Opens the watch on the foot that carries the load of a hurt leg.
 *
 * @throws Problem when the leg is neither in a cast nor lame enough, and when that foot is watched already
 */
export const start = async (work: Work, horseId: string, input: Entering): Promise<LimbWatch> => {
  const { tx, actor, nowMs } = work;
  const horse = await horses.read(work, horseId);
  const watch = supportLimbWatch(
    defined({
      injuredFoot: input.hurtLimb,
      inCast: input.inCast,
      lamenessGrade: input.lamenessGrade,
      since: localDateOf(nowMs, horse.yard.timeZone),
    }) as Parameters<typeof supportLimbWatch>[0],
  );
  if (watch === undefined)
    throw badField("/lamenessGrade", "a watch is for a leg in a cast or lame at grade 4 or 5");
  if (
    (await tx.limbWatch.count({
      where: { horseId, watchedFoot: watch.watchFoot, endedAt: null },
    })) > 0
  )
    throw new Problem("conflict", `${watch.watchFoot} is watched already.`, { recordId: horseId });
  const id = newId();
  await tx.limbWatch.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId,
      caseId: horse.openCaseId,
      hurtLimb: input.hurtLimb,
      watchedFoot: watch.watchFoot,
      cause: input.inCast ? "cast" : "lameness",
      because: watch.finding.detail,
      startedBy: actor.personId,
      startedAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "limb-watch.started",
    subjectType: "limb watch",
    subjectId: id,
    horseId,
    payload: input,
  });
  await recordEvent(work, {
    horseId,
    caseId: horse.openCaseId,
    kind: "care check",
    title: `Watch on ${watch.watchFoot} begins`,
    detail: watch.finding.detail,
    refType: "limb watch",
    refId: id,
  });
  work.announce("queue");
  return read(work, id);
};

/** Ends a watch. The vet says why; the checks made stay on record. */
export const end = async (
  work: Work,
  id: string,
  seen: number,
  reason: string,
): Promise<LimbWatch> => {
  const { tx, actor, nowMs } = work;
  const before = await read(work, id);
  assertVersion(seen, before.version);
  const { count } = await tx.limbWatch.updateMany({
    where: { id, version: seen, endedAt: null },
    data: {
      endedAt: new Date(nowMs),
      endedBy: actor.personId,
      endReason: reason,
      version: seen + 1,
    },
  });
  if (count === 0) throw new Problem("conflict", "This watch has ended.", { recordId: id });
  work.audit({
    event: "limb-watch.ended",
    subjectType: "limb watch",
    subjectId: id,
    horseId: before.horseId,
    payload: { reason },
  });
  work.announce("queue");
  return read(work, id);
};
