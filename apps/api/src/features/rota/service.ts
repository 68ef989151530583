import type {
  addAbsence,
  addClosure,
  listAbsences,
  setWorkingWeek,
  WorkingWeek,
} from "@heelward/contracts";
import type { z } from "zod";
import { Prisma } from "../../database/client.ts";
import { hasRole } from "../../http/actor.ts";
import { dayColumn, isoDay } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import * as store from "./store.ts";
import { standardWeek } from "./working-hours.ts";

type NewWeek = z.output<NonNullable<typeof setWorkingWeek.body>>;
type NewAbsence = z.output<NonNullable<typeof addAbsence.body>>;
type NewClosure = z.output<NonNullable<typeof addClosure.body>>;
type AbsenceQuery = z.output<NonNullable<typeof listAbsences.query>>;

/** The version of a week nobody has entered. */
const STANDARD_VERSION = 1;

const assertOwnOrManager = (work: Work, personId: string): void => {
  if (personId !== work.actor.personId && !hasRole(work.actor, "manager"))
    throw new Problem("forbidden", "A farrier changes the own week and days off only.", {
      requiredRoles: ["manager"],
    });
};

const readFarrier = async ({ tx }: Work, id: string) => {
  const person = await tx.person.findFirst({
    where: { id, status: "active", roles: { hasSome: ["farrier", "vet"] } },
  });
  if (person === null) throw notFound("farrier or vet");
  return { id: person.id, name: person.name };
};

export const readWeek = async (work: Work, personId: string): Promise<WorkingWeek> => {
  const person = await readFarrier(work, personId);
  const [row] = await store.findWeeks(work.tx, [personId]);
  const { home, hours, skills, yardIds, lunch, isStandard } = row ?? standardWeek(personId);
  return {
    person,
    hours: [...hours],
    lunch,
    skills: [...skills],
    yardIds: [...yardIds],
    home,
    isStandard,
    version: row?.version ?? STANDARD_VERSION,
  };
};

export const setWeek = async (
  work: Work,
  personId: string,
  seen: number,
  input: NewWeek,
): Promise<WorkingWeek> => {
  const { tx, actor } = work;
  await readFarrier(work, personId);
  assertOwnOrManager(work, personId);
  if (
    (await tx.yard.count({ where: { id: { in: input.yardIds } } })) !== new Set(input.yardIds).size
  )
    throw badField("/yardIds", "must name yards of this practice");
  const version = await store.lockWeek(tx, personId);
  assertVersion(seen, version ?? STANDARD_VERSION);
  const data = {
    hours: input.hours.toSorted((a, b) => a.weekday - b.weekday),
    lunch: input.lunch ?? Prisma.DbNull,
    skills: [...new Set(input.skills)],
    yardIds: [...new Set(input.yardIds)],
    homeLat: input.home?.lat ?? null,
    homeLon: input.home?.lon ?? null,
    version: seen + 1,
  };
  await tx.workingWeek.upsert({
    where: { practiceId_personId: { practiceId: actor.practiceId, personId } },
    create: { practiceId: actor.practiceId, personId, ...data },
    update: data,
  });
  work.audit({
    event: "working-week.set",
    subjectType: "person",
    subjectId: personId,
    horseId: null,
    // Where somebody lives does not belong into a log that is never cleared.
    payload: { hours: input.hours, skills: input.skills, yardIds: input.yardIds },
  });
  work.announce("rota");
  return readWeek(work, personId);
};

export const listAbsencesOf = async ({ tx }: Work, query: AbsenceQuery) => ({
  items: await store.findAbsences(tx, query),
});

/** Notes days away inside the caller's transaction. */
export const noteAbsence = async (work: Work, input: NewAbsence): Promise<store.AbsenceRow> => {
  const { tx, actor, nowMs } = work;
  const id = newId();
  await tx.absence.create({
    data: {
      practiceId: actor.practiceId,
      id,
      personId: input.personId,
      fromOn: dayColumn(input.fromOn),
      toOn: dayColumn(input.toOn),
      reason: input.reason,
      notedBy: actor.personId,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "absence.noted",
    subjectType: "person",
    subjectId: input.personId,
    horseId: null,
    payload: { fromOn: input.fromOn, toOn: input.toOn },
  });
  work.announce("rota");
  const [row] = await store.findAbsences(tx, { id });
  if (row === undefined) throw new Error("the absence just written is not there");
  return row;
};

export const addAbsenceOf = async (work: Work, input: NewAbsence): Promise<store.AbsenceRow> => {
  if ((await work.tx.person.count({ where: { id: input.personId, status: "active" } })) !== 1)
    throw badField("/personId", "is not an active person of this practice");
  assertOwnOrManager(work, input.personId);
  return noteAbsence(work, input);
};

export const withdrawAbsenceOf = async (work: Work, id: string, seen: number): Promise<null> => {
  const [row] = await store.findAbsences(work.tx, { id });
  if (row === undefined) throw notFound("absence");
  assertOwnOrManager(work, row.person.id);
  const { count } = await work.tx.absence.updateMany({
    where: { id, version: seen, withdrawnAt: null },
    data: { withdrawnAt: new Date(work.nowMs), version: seen + 1 },
  });
  if (count === 0) assertVersion(seen, row.version);
  work.audit({
    event: "absence.withdrawn",
    subjectType: "person",
    subjectId: row.person.id,
    horseId: null,
    payload: { fromOn: row.fromOn, toOn: row.toOn },
  });
  work.announce("rota");
  return null;
};

export const listClosuresOf = async ({ tx }: Work) => ({
  items: (await tx.practiceClosure.findMany({ orderBy: { closedOn: "asc" }, take: 1000 })).map(
    (row) => ({ closedOn: isoDay(row.closedOn), reason: row.reason }),
  ),
});

export const addClosureOf = async (work: Work, input: NewClosure) => {
  const { tx, actor } = work;
  const closedOn = dayColumn(input.closedOn);
  const created = await tx.practiceClosure.createMany({
    data: {
      practiceId: actor.practiceId,
      closedOn,
      reason: input.reason,
      setBy: actor.personId,
    },
    skipDuplicates: true,
  });
  if (created.count === 0) throw new Problem("conflict", "This day is closed already.");
  work.audit({
    event: "closure.added",
    subjectType: "practice",
    subjectId: actor.practiceId,
    horseId: null,
    payload: input,
  });
  work.announce("rota");
  return input;
};

export const removeClosureOf = async (work: Work, date: string): Promise<null> => {
  const { count } = await work.tx.practiceClosure.deleteMany({
    where: { closedOn: dayColumn(date) },
  });
  if (count === 0) throw notFound("closed day");
  work.audit({
    event: "closure.removed",
    subjectType: "practice",
    subjectId: work.actor.practiceId,
    horseId: null,
    payload: { closedOn: date },
  });
  work.announce("rota");
  return null;
};
