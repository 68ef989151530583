import type { addYard, changeYard, listYards, Yard } from "@heelward/contracts";
import type { z } from "zod";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { dayColumn } from "../../http/dates.ts";
import { defined } from "../../http/defined.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { changeOf } from "../../records/change-of.ts";
import * as store from "./store.ts";

type NewYard = z.output<NonNullable<typeof addYard.body>>;
type YardChange = z.output<NonNullable<typeof changeYard.body>>;
type YardQuery = z.output<NonNullable<typeof listYards.query>>;

/** Yards by name. */
export const list = async ({ tx }: Work, query: YardQuery) => {
  const after = decodeCursor(query.cursor, 2);
  const found = await store.findYards(tx, { q: query.q, after, limit: query.limit + 1 });
  const { rows, nextCursor } = toPage(found, query.limit, (yard) => [
    yard.name.toLowerCase(),
    yard.id,
  ]);
  return { items: [...rows], nextCursor };
};

export const read = async ({ tx }: Work, id: string): Promise<Yard> => {
  const yard = await store.findYard(tx, id);
  if (yard === null) throw notFound("yard");
  return yard;
};

export const add = async (work: Work, input: NewYard): Promise<Yard> => {
  const id = newId();
  await work.tx.yard.create({
    data: {
      ...input,
      practiceId: work.actor.practiceId,
      id,
      closedOn: input.closedOn.map(dayColumn),
    },
  });
  work.audit({
    event: "yard.added",
    subjectType: "yard",
    subjectId: id,
    horseId: null,
    payload: input,
  });
  return read(work, id);
};

/** Takes the lock and checks the version the caller saw. */
const lock = async (work: Work, id: string, seen: number): Promise<Yard> => {
  const version = await store.lockYard(work.tx, id);
  if (version === null) throw notFound("yard");
  assertVersion(seen, version);
  return read(work, id);
};

export const change = async (
  work: Work,
  id: string,
  seen: number,
  input: YardChange,
): Promise<Yard> => {
  const before = await lock(work, id, seen);
  const { closedOn, ...rest } = defined(input);
  await work.tx.yard.updateMany({
    where: { id },
    data: {
      ...rest,
      ...(closedOn === undefined ? {} : { closedOn: closedOn.map(dayColumn) }),
      version: seen + 1,
    },
  });
  work.audit({
    event: "yard.changed",
    subjectType: "yard",
    subjectId: id,
    horseId: null,
    payload: changeOf(before, input),
  });
  return read(work, id);
};

/** Sets who works at a yard: carers see its horses, farriers cover it. */
export const setPeople = async (
  work: Work,
  id: string,
  seen: number,
  personIds: readonly string[],
): Promise<Yard> => {
  await lock(work, id, seen);
  const unique = [...new Set(personIds)];
  if ((await store.countEligible(work.tx, unique, ["carer", "farrier"])) !== unique.length)
    throw badField("/personIds", "must name active carers and farriers of this practice");
  await store.replaceYardPeople(work.tx, work.actor.practiceId, id, unique);
  await work.tx.yard.updateMany({ where: { id }, data: { version: seen + 1 } });
  work.audit({
    event: "yard.people-set",
    subjectType: "yard",
    subjectId: id,
    horseId: null,
    payload: { personIds: unique },
  });
  work.announce("queue");
  return read(work, id);
};
