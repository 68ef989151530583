import {
  foodChain,
  horseType,
  type addHorse,
  type changeHorse,
  type Horse,
  type listHorses,
  type weighHorse,
  type Weighing,
} from "@heelward/contracts";
import type { Judged } from "@heelward/domain/evidence";
import { parseMicrochip, parseUeln, weightChange, weightFromGirth } from "@heelward/domain/horse";
import { weightInterval } from "@heelward/domain/medication";
import type { z } from "zod";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { dayColumn, isoDayOrNull } from "../../http/dates.ts";
import { assertNotFuture } from "../../http/instants.ts";
import { defined } from "../../http/defined.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem, ruleViolated } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import { readMedication } from "../medication/context.ts";
import { recheckCoursesAfterChange, recheckCoursesAfterWeighing } from "../medication/recheck.ts";
import { changeOf } from "../../records/change-of.ts";
import * as store from "./store.ts";

type NewHorse = z.output<NonNullable<typeof addHorse.body>>;
type HorseChange = z.output<NonNullable<typeof changeHorse.body>>;
type HorseQuery = z.output<NonNullable<typeof listHorses.query>>;
type NewWeighing = z.output<NonNullable<typeof weighHorse.body>>;

export const list = async ({ tx }: Work, query: HorseQuery) => {
  const after = decodeCursor(query.cursor, 2);
  const found = await store.findHorses(tx, { ...query, after, limit: query.limit + 1 });
  const { rows, nextCursor } = toPage(found, query.limit, (row) => [row.sortKey, row.id]);
  return { items: [...rows], nextCursor };
};

const identityNotes = (ueln: string | null, microchip: string | null): string[] =>
  [
    ueln === null ? [] : parseUeln(ueln).findings,
    microchip === null ? [] : parseMicrochip(microchip).findings,
  ]
    .flat()
    .filter((finding) => finding.outcome === "note" || finding.outcome === "warn")
    .map((finding) => finding.detail);

export const read = async ({ tx, actor, nowMs }: Work, id: string): Promise<Horse> => {
  const found = await store.findHorse(tx, actor.practiceId, id);
  if (found === null) throw notFound("horse");
  const { row, ...beside } = found;
  const [latestWeighing = null] = await store.findWeighings(tx, id, nowMs, {
    after: null,
    limit: 1,
  });
  return {
    ...row,
    ...beside,
    type: horseType.parse(row.type),
    sex: row.sex as Horse["sex"],
    status: row.status as Horse["status"],
    foodChain: foodChain.parse(row.foodChain),
    bornOn: isoDayOrNull(row.bornOn),
    passportSeenOn: isoDayOrNull(row.passportSeenOn),
    latestWeighing,
    identityNotes: identityNotes(row.ueln, row.microchip),
  };
};

const accept = <T>(judged: Judged<T>, pointer: string): T => {
  if (judged.ok) return judged.value;
  const blocking = judged.findings.find((finding) => finding.outcome === "block");
  throw badField(pointer, blocking?.detail ?? "does not fit");
};

/** Numbers as they are stored: without separators, checked. */
const identity = (input: {
  readonly ueln?: string | null | undefined;
  readonly microchip?: string | null | undefined;
}) => ({
  ...(input.ueln === undefined
    ? {}
    : { ueln: input.ueln === null ? null : accept(parseUeln(input.ueln), "/ueln").text }),
  ...(input.microchip === undefined
    ? {}
    : {
        microchip:
          input.microchip === null
            ? null
            : accept(parseMicrochip(input.microchip), "/microchip").text,
      }),
});

const assertYard = async ({ tx }: Work, yardId: string): Promise<void> => {
  if ((await tx.yard.count({ where: { id: yardId } })) !== 1)
    throw badField("/yardId", "is not a yard of this practice");
};

const assertPeople = async (
  { tx }: Work,
  ids: readonly string[],
  role: string,
  pointer: string,
): Promise<void> => {
  const unique = new Set(ids);
  const known = await tx.person.count({
    where: { id: { in: [...unique] }, status: "active", roles: { has: role } },
  });
  if (known !== unique.size)
    throw badField(pointer, `must name active people of this practice with the role ${role}`);
};

export const add = async (work: Work, input: NewHorse): Promise<Horse> => {
  const { tx, actor } = work;
  await assertYard(work, input.yardId);
  if (input.farrierId !== null)
    await assertPeople(work, [input.farrierId], "farrier", "/farrierId");
  await assertPeople(work, input.ownerIds, "owner", "/ownerIds");
  const id = newId();
  const { ownerIds, bornOn, ...fields } = input;
  await tx.horse.create({
    data: {
      ...fields,
      ...identity(input),
      practiceId: actor.practiceId,
      id,
      bornOn: bornOn === null ? null : dayColumn(bornOn),
    },
  });
  await store.replaceOwners(tx, actor.practiceId, id, [...new Set(ownerIds)]);
  work.audit({
    event: "horse.added",
    subjectType: "horse",
    subjectId: id,
    horseId: id,
    payload: input,
  });
  return read(work, id);
};

const lock = async (work: Work, id: string, seen: number): Promise<Horse> => {
  const version = await store.lockHorse(work.tx, id);
  if (version === null) throw notFound("horse");
  assertVersion(seen, version);
  return read(work, id);
};

/** What the dose rules look at besides weight: a change of it has running courses judged again. */
const changesCare = (input: HorseChange): boolean =>
  [
    input.conditions,
    input.pregnant,
    input.lactating,
    input.type,
    input.bornOn,
    input.heightCm,
  ].some((value) => value !== undefined);

/** What changed, as the reason of a hold says it. */
const careChange = (before: Horse, input: HorseChange): string => {
  const added = (input.conditions ?? []).filter((name) => !before.conditions.includes(name));
  const parts = [
    ...added,
    ...(input.pregnant === true && !before.pregnant ? ["in foal"] : []),
    ...(input.lactating === true && !before.lactating ? ["nursing"] : []),
  ];
  return parts.length === 0
    ? "The horse's record changed"
    : `New on the record, ${parts.join(", ")}`;
};

export const change = async (
  work: Work,
  id: string,
  seen: number,
  input: HorseChange,
): Promise<Horse> => {
  const before = await lock(work, id, seen);
  if (input.yardId !== undefined) await assertYard(work, input.yardId);
  if (input.farrierId !== undefined && input.farrierId !== null)
    await assertPeople(work, [input.farrierId], "farrier", "/farrierId");
  const { bornOn, ...fields } = defined(input);
  const animal = changesCare(input) ? await readMedication(work, id) : undefined;
  await work.tx.horse.updateMany({
    where: { id },
    data: {
      ...fields,
      ...identity(input),
      ...(bornOn === undefined ? {} : { bornOn: bornOn === null ? null : dayColumn(bornOn) }),
      version: seen + 1,
    },
  });
  work.audit({
    event: "horse.changed",
    subjectType: "horse",
    subjectId: id,
    horseId: id,
    payload: changeOf(before, input),
  });
  if (animal !== undefined)
    await recheckCoursesAfterChange(work, animal, careChange(before, input));
  work.announce("queue");
  return read(work, id);
};

export const setOwners = async (
  work: Work,
  id: string,
  seen: number,
  personIds: readonly string[],
): Promise<Horse> => {
  await lock(work, id, seen);
  const unique = [...new Set(personIds)];
  await assertPeople(work, unique, "owner", "/personIds");
  await store.replaceOwners(work.tx, work.actor.practiceId, id, unique);
  await work.tx.horse.updateMany({ where: { id }, data: { version: seen + 1 } });
  work.audit({
    event: "horse.owners-set",
    subjectType: "horse",
    subjectId: id,
    horseId: id,
    payload: { personIds: unique },
  });
  return read(work, id);
};

/** A vet has the passport in hand. Exclusion from the food chain is for good and never taken back. */
export const recordPassport = async (
  work: Work,
  id: string,
  seen: number,
  input: { readonly foodChain: "excluded" | "not excluded"; readonly seenOn: string },
): Promise<Horse> => {
  const before = await lock(work, id, seen);
  if (before.foodChain === "excluded" && input.foodChain !== "excluded")
    throw new Problem(
      "conflict",
      "Exclusion from the food chain is permanent: a passport once signed as excluded never changes back (EU 2021/963, UK passport rules).",
    );
  assertNotFuture(`${input.seenOn}T00:00:00Z`, work.nowMs, "/seenOn");
  await work.tx.horse.updateMany({
    where: { id },
    data: {
      foodChain: input.foodChain,
      passportSeenOn: dayColumn(input.seenOn),
      passportSeenBy: work.actor.personId,
      version: seen + 1,
    },
  });
  work.audit({
    event: "horse.passport-seen",
    subjectType: "horse",
    subjectId: id,
    horseId: id,
    payload: input,
  });
  await recordEvent(work, {
    horseId: id,
    caseId: before.openCaseId,
    kind: "passport",
    title: `Passport seen: ${input.foodChain} from the food chain`,
    refType: "horse",
    refId: id,
  });
  return read(work, id);
};

export const listWeighings = async (
  work: Work,
  horseId: string,
  query: { readonly limit: number; readonly cursor?: string | undefined },
) => {
  await read(work, horseId);
  const after = decodeCursor(query.cursor, 2);
  const found = await store.findWeighings(work.tx, horseId, work.nowMs, {
    after,
    limit: query.limit + 1,
  });
  const { rows, nextCursor } = toPage(found, query.limit, (row) => [row.weighedAt, row.id]);
  return { items: [...rows], nextCursor };
};

/** Records a weighing and checks every open course against it in the same transaction. */
export const weigh = async (work: Work, horseId: string, input: NewWeighing) => {
  const { tx, actor, nowMs } = work;
  const animal = await read(work, horseId);
  const weighedAtMs = Date.parse(input.weighedAt);
  assertNotFuture(input.weighedAt, nowMs, "/weighedAt");
  const build = {
    type: animal.type,
    ...(animal.heightCm === null ? {} : { heightCm: animal.heightCm }),
  };
  let weightKg = input.weightKg ?? 0;
  let spread: { lowKg: number; highKg: number } | undefined;
  if (input.method === "formula") {
    const judged = weightFromGirth({
      girthCm: input.girthCm ?? 0,
      lengthCm: input.lengthCm ?? 0,
      animalType: animal.type,
      ...(animal.heightCm === null ? {} : { heightCm: animal.heightCm }),
    });
    if (!judged.ok)
      throw ruleViolated("The girth formula does not fit this animal.", judged.findings);
    weightKg = Math.round(judged.value.weightKg * 10) / 10;
    spread = {
      lowKg: weightKg - 2 * judged.value.readingSdKg,
      highKg: weightKg + 2 * judged.value.readingSdKg,
    };
  }
  const interval = weightInterval(
    { weightKg, method: input.method, takenAtMs: weighedAtMs, ...spread },
    build,
  );
  const [before] = await store.findWeighings(tx, horseId, nowMs, { after: null, limit: 1 });
  const id = newId();
  await tx.weighing.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId,
      weighedAt: new Date(weighedAtMs),
      weightKg,
      lowKg: interval.lowKg,
      highKg: interval.highKg,
      method: input.method,
      girthCm: input.girthCm ?? null,
      lengthCm: input.lengthCm ?? null,
      weighedBy: actor.personId,
      note: input.note ?? null,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "horse.weighed",
    subjectType: "weighing",
    subjectId: id,
    horseId,
    payload: { weightKg, method: input.method, weighedAt: input.weighedAt },
  });
  await recordEvent(work, {
    horseId,
    caseId: animal.openCaseId,
    kind: "weighing",
    title: `Weighed ${weightKg} kg (${input.method})`,
    at: weighedAtMs,
    refType: "weighing",
    refId: id,
    forOwner: `Weight ${Math.round(weightKg)} kg.`,
  });
  const isLatest = before === undefined || Date.parse(before.weighedAt) <= weighedAtMs;
  const recheck = isLatest
    ? await recheckCoursesAfterWeighing(work, horseId)
    : { heldCourseIds: [], messages: [] };
  work.announce("queue");
  const [stored] = (
    await store.findWeighings(tx, horseId, nowMs, { after: null, limit: 200 })
  ).filter((one: Weighing) => one.id === id);
  if (stored === undefined) throw new Error("the weighing just written is not there");
  return {
    ...stored,
    changePercent:
      before === undefined ? null : weightChange(before.weightKg, weightKg).changePercent,
    ...recheck,
  };
};
