import type { moveOnLadder, MovementLadderView, startMovementLadder } from "@heelward/contracts";
import { counts, drugOf } from "@heelward/domain/medication";
import {
  ladderPosition,
  painRise,
  standardLadder,
  type MetabolicValues,
} from "@heelward/domain/metabolic";
import { localDateOf, MS_PER_DAY } from "@heelward/domain/time";
import type { z } from "zod";
import { hasRole } from "../../http/actor.ts";
import { dayColumn } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { notFound, Problem } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as handoffs from "../handoffs/service.ts";
import { asJson } from "../medication/as-json.ts";
import { lockTreatable } from "../medication/course-lock.ts";
import { tellVet } from "../medication/holds.ts";
import { dosesOfHorse, horseOf } from "../medication/read-model.ts";
import { metabolicFigures } from "./figures.ts";
import * as store from "./store.ts";

type Start = z.output<NonNullable<typeof startMovementLadder.body>>;
type Move = z.output<NonNullable<typeof moveOnLadder.body>>;

/** Why nobody moves up today: a score that rose, or a red flag in the last day. */
const painFlagOf = (
  rows: readonly store.ScoreRow[],
  nowMs: number,
  values: MetabolicValues,
): string | null => {
  const recent = rows.filter((row) => row.at.getTime() > nowMs - MS_PER_DAY);
  if (recent.some((row) => row.isRedFlag)) return "A red flag was seen in the last 24 hours.";
  const rise = painRise(
    rows.flatMap((row) =>
      row.score === null ? [] : [{ atMs: row.at.getTime(), score: row.score }],
    ),
    values,
  );
  return rise.alert ? `The five-sign score rose by ${rise.rise} within 24 hours.` : null;
};

const view = async (work: Work, row: store.LadderRow): Promise<MovementLadderView> => {
  const horse = await horseOf(work, row.horseId);
  const painkillerDays = (await dosesOfHorse(work, row.horseId))
    .filter((dose) => {
      const classes = drugOf(dose.drugKey)?.classes ?? [];
      return counts(dose) && (classes.includes("NSAID") || classes.includes("analgesic"));
    })
    .map((dose) => localDateOf(dose.givenAt.getTime(), horse.timeZone));
  const values = await metabolicFigures(work);
  const painFlag = painFlagOf(await store.findScores(work.tx, [row.horseId]), work.nowMs, values);
  const position = ladderPosition(
    {
      ladder: row.stages,
      stageIndex: row.stageIndex,
      stageSince: row.stageSince,
      today: localDateOf(work.nowMs, horse.timeZone),
      painkillerDays,
      painFlag: painFlag !== null,
    },
    values,
  );
  if (position === undefined) throw new Error("the ladder stands on a stage it does not have");
  return {
    ...row,
    stages: row.stages.map((stage) => ({ ...stage, stopRules: [...stage.stopRules] })),
    moves: [...row.moves],
    countedDays: position.countedDays,
    daysNeeded: position.stage.leastDays,
    tailDays: values.medicatedTailDays,
    mayMoveUp: row.status === "live" && position.mayMoveUp,
    painFlag,
    source: position.source,
  };
};

const find = async (work: Work, id: string): Promise<store.LadderRow> => {
  const [row] = await store.findLadders(work.tx, { id });
  if (row === undefined) throw notFound("movement ladder");
  return row;
};

export const readLive = async (work: Work, horseId: string): Promise<MovementLadderView> => {
  await horseOf(work, horseId);
  const [row] = await store.findLadders(work.tx, { horseId, live: true });
  if (row === undefined) throw notFound("live movement ladder");
  return view(work, row);
};

/** Starts the one ladder of a horse; a second is refused while one lives. */
export const start = async (
  work: Work,
  horseId: string,
  input: Start,
): Promise<MovementLadderView> => {
  const { tx, actor, nowMs } = work;
  const { horse } = await lockTreatable(work, horseId, null);
  if (horse.openCaseId === null)
    throw new Problem("conflict", "The horse has no open case to walk out of.", {
      recordId: horseId,
    });
  const [live] = await store.findLadders(tx, { horseId, live: true });
  if (live !== undefined)
    throw new Problem(
      "conflict",
      "Another plan for movement is live; end it before this one starts.",
      { recordId: live.id },
    );
  const stages = input.stages ?? standardLadder(await metabolicFigures(work));
  const id = newId();
  await tx.movementLadder.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId,
      caseId: horse.openCaseId,
      stages: asJson(stages),
      stageIndex: 0,
      stageSince: dayColumn(localDateOf(nowMs, horse.timeZone)),
      status: "live",
      startedBy: actor.personId,
      startedAt: new Date(nowMs),
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "ladder.started",
    subjectType: "movement ladder",
    subjectId: id,
    horseId,
    payload: { stages },
  });
  await recordEvent(work, {
    horseId,
    caseId: horse.openCaseId,
    kind: "movement",
    title: `Return to movement begins: ${stages[0]?.name ?? ""}`,
    refType: "movement ladder",
    refId: id,
    forOwner: `Movement now: ${stages[0]?.name ?? ""}.`,
  });
  work.announce("queue");
  return view(work, await find(work, id));
};

/** One stage up, back or out. Back is open to whoever cares for the horse; up and out are the vet's. */
export const move = async (
  work: Work,
  id: string,
  seen: number,
  { move: way, reason }: Move,
): Promise<MovementLadderView> => {
  const { tx, actor, nowMs } = work;
  const before = await find(work, id);
  const { horse } = await lockTreatable(work, before.horseId, before.caseId);
  const row = await find(work, id);
  assertVersion(seen, row.version);
  if (row.status !== "live")
    throw new Problem("conflict", "This ladder has ended.", { recordId: id });
  if (way !== "back" && !hasRole(actor, "vet"))
    throw new Problem("forbidden", "Only the vet moves a horse up or ends the ladder.", {
      requiredRoles: ["vet"],
    });
  const shown = await view(work, row);
  if (way === "up" && !shown.mayMoveUp)
    throw new Problem(
      "conflict",
      shown.painFlag ??
        (row.stageIndex + 1 >= row.stages.length
          ? "This is the last stage; end the ladder instead."
          : `${shown.countedDays} of ${shown.daysNeeded} days count; days on painkillers and the ${shown.tailDays} days after do not.`),
      { recordId: id },
    );
  const to =
    way === "up"
      ? row.stageIndex + 1
      : way === "back"
        ? Math.max(0, row.stageIndex - 1)
        : row.stageIndex;
  const at = new Date(nowMs).toISOString();
  const entry = {
    at,
    by: { id: actor.personId, name: actor.name },
    from: row.stageIndex,
    to,
    reason,
  };
  await tx.movementLadder.updateMany({
    where: { id },
    data: {
      moves: asJson([...row.moves, entry]),
      version: seen + 1,
      ...(way === "end"
        ? { status: "ended", endedAt: new Date(nowMs), endReason: reason }
        : { stageIndex: to, stageSince: dayColumn(localDateOf(nowMs, horse.timeZone)) }),
    },
  });
  work.audit({
    event: `ladder.${way === "end" ? "ended" : "moved"}`,
    subjectType: "movement ladder",
    subjectId: id,
    horseId: row.horseId,
    payload: entry,
  });
  const name = row.stages[to]?.name ?? "";
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "movement",
    title: way === "end" ? "Return to movement ended" : `Movement ${way}: ${name}`,
    detail: reason,
    refType: "movement ladder",
    refId: id,
    ...(way === "end" ? {} : { forOwner: `Movement now: ${name}.` }),
  });
  if (way === "up")
    await handoffs.write(work, {
      horseId: row.horseId,
      toRole: "carer",
      urgent: false,
      situation: `${horse.name} may move on`.slice(0, 200),
      mustDo: `From today: ${name}`,
      callMeIf: (row.stages[to]?.stopRules ?? []).join("; ").slice(0, 400),
    });
  if (way === "back")
    await tellVet(work, horse, {
      situation: "went back one stage of movement",
      found: reason,
      mustDo: "Ring the yard: look at the horse before it moves up again",
      urgent: true,
    });
  work.announce("queue");
  return view(work, await find(work, id));
};
