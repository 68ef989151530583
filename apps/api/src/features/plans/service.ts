import {
  horizonPlan,
  type adoptPlan,
  type HorizonPlanView,
  type startPlan,
} from "@heelward/contracts";
import { addDays, localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import { isoDay, isoOrNull } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { readPractice } from "../people/practice.ts";
import { bookPlanned } from "./adopt.ts";
import type { StoredRequest } from "./stored.ts";

type Start = z.output<NonNullable<typeof startPlan.body>>;
type Adoption = z.output<NonNullable<typeof adoptPlan.body>>;

/** A practice that starts plan after plan waits for the first to end. */
const MOST_OPEN = 2;
const MOST_LISTED = 30;
const CAUTION =
  "A plan proposes. It knows due days, limits and roads, not the horse in front of you: a horse in pain comes first whatever it says, and a vet decides past every limit.";

const parts = horizonPlan.shape;
type Row = NonNullable<Awaited<ReturnType<Work["tx"]["horizonPlan"]["findFirst"]>>>;

const viewHead = async ({ tx }: Work, row: Row) => {
  const person = await tx.person.findFirstOrThrow({ where: { id: row.requestedBy } });
  return {
    id: row.id,
    status: parts.status.parse(row.status),
    fromOn: isoDay(row.fromOn),
    toOn: isoDay(row.toOn),
    requestedBy: { id: person.id, name: person.name },
    requestedAt: row.createdAt.toISOString(),
    finishedAt: isoOrNull(row.finishedAt),
    progress: parts.progress.parse(row.progress),
    failure: row.failure,
    caution: CAUTION,
    version: row.version,
  };
};

const findPlan = async ({ tx, actor }: Work, id: string): Promise<Row> => {
  const row = await tx.horizonPlan.findUnique({
    where: { practiceId_id: { practiceId: actor.practiceId, id } },
  });
  if (row === null) throw notFound("plan");
  return row;
};

export const read = async (work: Work, id: string): Promise<HorizonPlanView> => {
  const row = await findPlan(work, id);
  const adopted = await work.tx.planAdoption.findMany({
    where: { planId: id },
    orderBy: [{ createdAt: "asc" }, { id: "asc" }],
  });
  return {
    ...(await viewHead(work, row)),
    result: parts.result.parse(row.result),
    adopted: adopted.map((one) => ({
      resetId: one.resetId,
      outcome: parts.adopted.element.shape.outcome.parse(one.outcome),
      detail: one.detail,
    })),
  };
};

export const list = async (work: Work) => {
  const rows = await work.tx.horizonPlan.findMany({
    orderBy: [{ createdAt: "desc" }, { id: "desc" }],
    take: MOST_LISTED,
  });
  return { items: await Promise.all(rows.map((row) => viewHead(work, row))) };
};

/** Puts a plan in line; a background job works it out. */
export const start = async (work: Work, input: Start): Promise<HorizonPlanView> => {
  const { tx, actor, nowMs } = work;
  const practice = await readPractice(work);
  const today = localDateOf(nowMs, practice.timeZone);
  if (input.fromOn < today) throw badField("/fromOn", "lies in the past");
  const active = await tx.person.findMany({
    where: { status: "active", roles: { has: "farrier" } },
    orderBy: { id: "asc" },
  });
  const known = new Set(active.map((person) => person.id));
  const unknownAt = (input.farrierIds ?? []).findIndex((id) => !known.has(id));
  if (unknownAt >= 0)
    throw badField(`/farrierIds/${unknownAt}`, "is not an active farrier of this practice");
  const awayAt = input.away.findIndex((one) => !known.has(one.farrierId));
  if (awayAt >= 0)
    throw badField(`/away/${awayAt}/farrierId`, "is not an active farrier of this practice");
  const farrierIds = [...new Set(input.farrierIds ?? known)];
  if (farrierIds.length === 0) throw new Problem("conflict", "The practice has no active farrier.");
  if (
    (await tx.reset.count({
      where: { id: { in: input.urgentResetIds }, status: { in: ["open", "booked"] } },
    })) !== new Set(input.urgentResetIds).size
  )
    throw badField("/urgentResetIds", "must name open resets of this practice");
  const vetVisitAt = await firstUnknownVisit(work, input.vetVisits);
  if (vetVisitAt !== null)
    throw badField(`/vetVisits/${vetVisitAt}`, "must name a vet and a yard of this practice");
  if (
    (await tx.horizonPlan.count({ where: { status: { in: ["waiting", "running"] } } })) >= MOST_OPEN
  )
    throw new Problem(
      "conflict",
      "Two plans are being worked out already; wait for one or stop it.",
    );
  const toOn = addDays(input.fromOn, input.weeks * 7 - 1);
  const request: StoredRequest = {
    fromOn: input.fromOn,
    toOn,
    farrierIds,
    away: input.away,
    keepBooked: input.keepBooked,
    urgentResetIds: input.urgentResetIds,
    vetVisits: input.vetVisits,
    seconds: input.seconds,
  };
  const id = newId();
  await tx.horizonPlan.create({
    data: {
      practiceId: actor.practiceId,
      id,
      status: "waiting",
      fromOn: new Date(`${input.fromOn}T00:00:00Z`),
      toOn: new Date(`${toOn}T00:00:00Z`),
      request,
      seed: input.seed,
      requestedBy: actor.personId,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "plan.started",
    subjectType: "plan",
    subjectId: id,
    horseId: null,
    payload: request,
  });
  work.announce("plans");
  return read(work, id);
};

const firstUnknownVisit = async (
  { tx }: Work,
  visits: Start["vetVisits"],
): Promise<number | null> => {
  const vets = await tx.person.findMany({
    where: { id: { in: visits.map((one) => one.vetId) }, status: "active", roles: { has: "vet" } },
  });
  const yards = await tx.yard.findMany({ where: { id: { in: visits.map((one) => one.yardId) } } });
  const at = visits.findIndex(
    (one) =>
      !vets.some((vet) => vet.id === one.vetId) || !yards.some((yard) => yard.id === one.yardId),
  );
  return at < 0 ? null : at;
};

/** Stops a plan that is not done yet. */
export const cancel = async (work: Work, id: string): Promise<null> => {
  await findPlan(work, id);
  const { count } = await work.tx.horizonPlan.updateMany({
    where: { id, status: { in: ["waiting", "running"] } },
    data: { status: "cancelled", finishedAt: new Date(work.nowMs), version: { increment: 1 } },
  });
  if (count === 0) throw new Problem("conflict", "It is not being worked out any more.");
  work.audit({
    event: "plan.cancelled",
    subjectType: "plan",
    subjectId: id,
    horseId: null,
    payload: null,
  });
  work.announce("plans");
  return null;
};

/**
 * Books what was chosen, one by one: each is booked whole or left as it is, with the reason. Nothing
 * that somebody changed since the plan was made is overwritten.
 */
export const adopt = async (work: Work, id: string, input: Adoption): Promise<HorizonPlanView> => {
  const plan = await read(work, id);
  if (plan.result === null) throw new Problem("conflict", "This plan has no result to adopt.");
  const choices = new Map(plan.result.choices.map((choice) => [choice.resetId, choice]));
  const unknownAt = input.choices.findIndex((one) => !choices.has(one.resetId));
  if (unknownAt >= 0) throw badField(`/choices/${unknownAt}/resetId`, "is not placed by this plan");
  const wanted = input.choices.flatMap((one) => {
    const choice = choices.get(one.resetId);
    return choice === undefined ? [] : [{ choice, seen: one.resetVersion }];
  });
  const results = await bookPlanned(work, wanted, input.reason);
  await work.tx.planAdoption.createMany({
    data: results.map((one) => ({
      practiceId: work.actor.practiceId,
      id: newId(),
      planId: id,
      resetId: one.resetId,
      outcome: one.outcome,
      detail: one.detail,
      adoptedBy: work.actor.personId,
      createdAt: new Date(work.nowMs),
    })),
  });
  work.audit({
    event: "plan.adopted",
    subjectType: "plan",
    subjectId: id,
    horseId: null,
    payload: { results },
  });
  work.announce("plans");
  return read(work, id);
};
