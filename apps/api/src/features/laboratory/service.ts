import type { LabResult, readLabResult } from "@heelward/contracts";
import { judgeRelease } from "@heelward/domain/cases";
import { drugOf } from "@heelward/domain/medication";
import { localDateOf, startOfDay } from "@heelward/domain/time";
import type { z } from "zod";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { dayColumn } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem, ruleViolated } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import { asJson } from "../medication/as-json.ts";
import { lockMedication, readMedication } from "../medication/context.ts";
import { openCourses, raiseHolds } from "../medication/holds.ts";
import { interpret, type NewResult } from "./interpret.ts";
import * as store from "./store.ts";
import { labResultView } from "./view.ts";

type Reading = z.output<NonNullable<typeof readLabResult.body>>;

const read = async ({ tx }: Work, id: string): Promise<LabResult> => {
  const [row] = await store.findLabResults(tx, { id, limit: 1 });
  if (row === undefined) throw notFound("laboratory result");
  return labResultView(row);
};

export const list = async (
  work: Work,
  horseId: string,
  query: { readonly limit: number; readonly cursor?: string | undefined },
) => {
  await readMedication(work, horseId);
  const after = decodeCursor(query.cursor, 2);
  const found = await store.findLabResults(work.tx, { horseId, after, limit: query.limit + 1 });
  const { rows, nextCursor } = toPage(found, query.limit, (row) => [row.takenOn, row.id]);
  return { items: rows.map(labResultView), nextCursor };
};

/** Enters a result with the laboratory's own range; one that forbids an anti-inflammatory holds it at once. */
export const add = async (work: Work, horseId: string, input: NewResult) => {
  const { tx, actor, nowMs } = work;
  const medication = await lockMedication(work, horseId);
  const { horse, context } = medication;
  if (input.takenOn > localDateOf(nowMs, horse.timeZone))
    throw badField("/takenOn", "lies in the future");
  if (
    input.rangeLow !== undefined &&
    input.rangeHigh !== undefined &&
    input.rangeHigh < input.rangeLow
  )
    throw badField("/rangeHigh", "must not lie below the low end of the range");
  if (input.protocol !== undefined && input.minute === undefined)
    throw badField("/minute", "say how many minutes after the sugar or the TRH");
  if (
    input.protocol !== undefined &&
    input.test !== (input.protocol === "TRH stimulation" ? "ACTH" : "insulin")
  )
    throw badField("/protocol", "does not belong to this test");
  const judged = interpret(
    input,
    {
      type: horse.type,
      hemisphere: horse.lat < 0 ? "south" : "north",
      takenAtMs: startOfDay(input.takenOn, horse.timeZone),
    },
    context.results ?? [],
  );
  if (!judged.ok)
    throw ruleViolated(
      judged.findings[0]?.detail ?? "This result cannot be right as entered.",
      judged.findings,
    );
  const { reading, findings, holdAntiInflammatories, reference } = judged.value;
  const id = newId();
  await tx.labResult.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId,
      caseId: horse.openCaseId,
      takenOn: dayColumn(input.takenOn),
      test: input.test,
      value: input.value,
      unit: input.unit,
      assay: input.assay ?? null,
      laboratory: input.laboratory ?? null,
      rangeLow: input.rangeLow ?? null,
      rangeHigh: input.rangeHigh ?? null,
      cutoff: input.cutoff ?? null,
      feeding: input.feeding ?? null,
      protocol: input.protocol ?? null,
      minute: input.minute ?? null,
      ...(reference === null ? {} : { reference: asJson(reference) }),
      note: input.note ?? null,
      reading,
      findings: asJson(findings),
      addedBy: actor.personId,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "lab-result.added",
    subjectType: "laboratory result",
    subjectId: id,
    horseId,
    payload: input,
  });
  await recordEvent(work, {
    horseId,
    caseId: horse.openCaseId,
    kind: "result",
    title: `${input.test} ${input.value} ${input.unit}${reading === null ? "" : `: ${reading}`}`,
    detail: findings.map((one) => one.detail).join(" ") || null,
    at: Math.min(startOfDay(input.takenOn, horse.timeZone), nowMs),
    refType: "laboratory result",
    refId: id,
  });
  const antiInflammatories = holdAntiInflammatories
    ? openCourses(medication).filter(
        (course) => drugOf(course.drugKey)?.classes.includes("NSAID") === true,
      )
    : [];
  const heldCourseIds = await raiseHolds(work, medication, antiInflammatories, {
    why: "result",
    reason: `${input.test} ${input.value} ${input.unit}: ${findings.map((one) => one.detail).join(" ")}`,
    findings,
  });
  work.announce("queue");
  return { ...(await read(work, id)), heldCourseIds };
};

/** A vet has read it. Once read it may be released to the owner, in plain words; never taken back. */
export const markRead = async (
  work: Work,
  id: string,
  seen: number,
  { release, words }: Reading,
): Promise<LabResult> => {
  const { tx, actor, nowMs } = work;
  const version = await store.lockLabResult(tx, id);
  if (version === null) throw notFound("laboratory result");
  assertVersion(seen, version);
  const before = await read(work, id);
  if (before.readAt !== null && (!release || before.releasedAt !== null))
    throw new Problem(
      "conflict",
      before.releasedAt === null
        ? `${before.readBy?.name ?? "A vet"} has read it already.`
        : "It was released to the owner already.",
      { recordId: id },
    );
  const refusals = release ? judgeRelease("vet", nowMs) : [];
  if (refusals[0] !== undefined) throw ruleViolated(refusals[0].detail, refusals);
  await tx.labResult.updateMany({
    where: { id },
    data: {
      ...(before.readAt === null ? { readAt: new Date(nowMs), readBy: actor.personId } : {}),
      ...(release ? { releasedAt: new Date(nowMs) } : {}),
      version: seen + 1,
    },
  });
  work.audit({
    event: release ? "lab-result.released" : "lab-result.read",
    subjectType: "laboratory result",
    subjectId: id,
    horseId: before.horseId,
    payload: { release, words: words ?? null },
  });
  await recordEvent(work, {
    horseId: before.horseId,
    caseId: before.caseId,
    kind: "result",
    title: `${before.test} read by the vet`,
    detail: words ?? null,
    refType: "laboratory result",
    refId: id,
    ...(release
      ? {
          forOwner:
            words ??
            `The vet has read the ${before.test} result of ${before.takenOn}. Ring us to talk it through.`,
        }
      : {}),
  });
  work.announce("queue");
  return read(work, id);
};
