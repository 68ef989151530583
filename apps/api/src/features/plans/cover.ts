import type { applyCover, previewCover } from "@heelward/contracts";
import { planCover } from "@heelward/domain/cycle";
import { localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import { badField } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import { letSee, openRows, readRow, type ResetRow } from "../resets/service.ts";
import { skillsOf, standingOf, windowOf } from "../resets/standing.ts";
import { lockReset } from "../resets/read-model.ts";
import { noteAbsence } from "../rota/service.ts";
import { findRota } from "../rota/read-model.ts";
import { offReason, weekOf } from "../rota/working-hours.ts";

type Away = z.output<NonNullable<typeof previewCover.body>>;
type Cover = z.output<NonNullable<typeof applyCover.body>>;

const dayOf = (row: ResetRow): string =>
  row.bookedFor === null
    ? windowOf(row).bookBy
    : localDateOf(row.bookedFor.getTime(), row.yard.timeZone);

const activeFarriers = ({ tx }: Work) =>
  tx.person.findMany({
    where: { status: "active", roles: { has: "farrier" } },
    orderBy: { id: "asc" },
  });

/** An overdue horse without a date is the absent farrier's too: it cannot wait for the return. */
const countsOn = (row: ResetRow, away: Away): string => {
  const on = dayOf(row);
  return row.bookedFor === null && on < away.fromOn ? away.fromOn : on;
};

const movesOf = async (work: Work, away: Away) => {
  const farriers = await activeFarriers(work);
  if (!farriers.some((farrier) => farrier.id === away.farrierId))
    throw badField("/farrierId", "is not an active farrier of this practice");
  const rota = await findRota(work.tx, away.fromOn);
  const yardPeople = await work.tx.yardPerson.findMany({});
  const rows = (await openRows(work, { farrierId: away.farrierId })).filter((row) => {
    const on = countsOn(row, away);
    return row.pausedReason === null && on >= away.fromOn && on <= away.toOn;
  });
  const moves = planCover(
    rows.map((row) => ({
      resetId: row.id,
      farrierId: away.farrierId,
      on: countsOn(row, away),
      skillsNeeded: skillsOf(row),
      yardId: row.yard.id,
    })),
    away,
    farriers.map((farrier) => {
      const week = weekOf(rota, farrier.id);
      return {
        farrierId: farrier.id,
        skills: week.skills,
        yardIds: [
          ...week.yardIds,
          ...yardPeople.filter((one) => one.personId === farrier.id).map((one) => one.yardId),
        ],
      };
    }),
  );
  return { rows, moves, farriers, rota };
};

/** Who would take an absent farrier's list, with the plans that go along and what each cover lacks. */
export const preview = async (
  work: Work,
  away: Away,
): Promise<z.input<typeof previewCover.response>> => {
  const { rows, moves, farriers, rota } = await movesOf(work, away);
  return {
    moves: rows.map((row) => {
      const move = moves.find((one) => one.resetId === row.id);
      const to = farriers.find((farrier) => farrier.id === move?.toFarrierId);
      const on = countsOn(row, away);
      const off = to === undefined ? null : offReason(rota, to.id, on);
      return {
        resetId: row.id,
        horse: { id: row.horse.id, name: row.horse.name },
        yard: { id: row.yard.id, name: row.yard.name },
        on,
        isBooked: row.status === "booked",
        state: standingOf(row, work.nowMs).state,
        prescriptionId: row.plan?.id ?? null,
        to: to === undefined ? null : { id: to.id, name: to.name },
        lacks: [...(move?.lacks ?? []), ...(off === null ? [] : [`another day: ${off} on ${on}`])],
        resetVersion: row.version,
      };
    }),
  };
};

/** Gives one reset to the cover. The date stays if there is one; the due day stays in any case. */
const moveOne = async (
  work: Work,
  move: Cover["moves"][number],
  input: Cover,
  names: ReadonlyMap<string, string>,
): Promise<{ resetId: string; outcome: "moved" | "conflict" | "refused"; detail: string }> => {
  const { resetId, toFarrierId } = move;
  const name = names.get(toFarrierId);
  if (name === undefined || toFarrierId === input.farrierId)
    return { resetId, outcome: "refused", detail: "The cover is not another active farrier." };
  const version = await lockReset(work.tx, resetId);
  if (version === null) return { resetId, outcome: "conflict", detail: "The reset is gone." };
  const row = await readRow(work, resetId);
  if (
    version !== move.resetVersion ||
    row.farrier?.id !== input.farrierId ||
    (row.status !== "open" && row.status !== "booked")
  )
    return { resetId, outcome: "conflict", detail: "Somebody changed this reset meanwhile." };
  const rota = await findRota(work.tx, input.fromOn);
  const lacks = skillsOf(row).filter((skill) => !weekOf(rota, toFarrierId).skills.includes(skill));
  await letSee(work, row, toFarrierId, input.toOn > dayOf(row) ? input.toOn : dayOf(row));
  await work.tx.reset.updateMany({
    where: { id: resetId },
    data: { farrierId: toFarrierId, version: version + 1 },
  });
  work.audit({
    event: "reset.covered",
    subjectType: "reset",
    subjectId: resetId,
    horseId: row.horse.id,
    payload: { from: input.farrierId, to: toFarrierId, lacks },
  });
  await recordEvent(work, {
    horseId: row.horse.id,
    caseId: row.caseId,
    kind: "reset",
    title: `${name} covers for ${row.farrier?.name ?? "the farrier"}`,
    detail:
      lacks.length === 0 ? input.reason : `${input.reason}. Needs as well: ${lacks.join(", ")}.`,
    refType: "reset",
    refId: resetId,
    forOwner: `${name} does the next visit in place of ${row.farrier?.name ?? "the farrier"}.`,
  });
  return {
    resetId,
    outcome: "moved",
    detail: lacks.length === 0 ? `to ${name}` : `to ${name}; needs as well: ${lacks.join(", ")}`,
  };
};

/** Notes the days away and moves the list; what somebody changed meanwhile is listed, not overwritten. */
export const apply = async (
  work: Work,
  input: Cover,
): Promise<z.input<typeof applyCover.response>> => {
  const farriers = await activeFarriers(work);
  const names = new Map(farriers.map((farrier) => [farrier.id, farrier.name]));
  if (!names.has(input.farrierId))
    throw badField("/farrierId", "is not an active farrier of this practice");
  const absence = await noteAbsence(work, {
    personId: input.farrierId,
    fromOn: input.fromOn,
    toOn: input.toOn,
    reason: input.reason,
  });
  const results = [];
  for (const move of input.moves.toSorted((a, b) => (a.resetId < b.resetId ? -1 : 1)))
    // Rows are locked one after the other, always in the same order.
    // oxlint-disable-next-line no-await-in-loop
    results.push(await moveOne(work, move, input, names));
  work.announce("resets");
  work.announce("queue");
  return { absence, results };
};
