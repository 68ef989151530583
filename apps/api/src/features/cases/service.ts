import type {
  CaseView,
  changeCase,
  changePhase,
  closeCase,
  listCases,
  openCase,
  readTimeline,
  takePhoneCall,
} from "@heelward/contracts";
import {
  closedCaseIsReadOnly,
  judgePhaseChange,
  suggestPhase,
  type Phase,
} from "@heelward/domain/cases";
import { isAllowed } from "@heelward/domain/evidence";
import { phoneCallTriage, type PhoneAnswers } from "@heelward/domain/examination";
import type { z } from "zod";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { dayColumn } from "../../http/dates.ts";
import { defined } from "../../http/defined.ts";
import { assertNotFuture } from "../../http/instants.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem, ruleViolated } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { sendRequired } from "../handoffs/service.ts";
import { practicePhone } from "../people/practice.ts";
import { recordEvent } from "./events.ts";
import { changeOf } from "../../records/change-of.ts";
import * as store from "./store.ts";

type CaseQuery = z.output<NonNullable<typeof listCases.query>>;
type NewCase = z.output<NonNullable<typeof openCase.body>>;
type CaseChange = z.output<NonNullable<typeof changeCase.body>>;
type PhaseMove = z.output<NonNullable<typeof changePhase.body>>;
type Closure = z.output<NonNullable<typeof closeCase.body>>;
type PhoneCall = z.output<NonNullable<typeof takePhoneCall.body>>;
type TimelineQuery = z.output<NonNullable<typeof readTimeline.query>>;

export const list = async ({ tx }: Work, query: CaseQuery) => {
  const after = decodeCursor(query.cursor, 2);
  const found = await store.findCases(tx, {
    ...query,
    isOpen: query.open === undefined ? undefined : query.open === "true",
    after,
    limit: query.limit + 1,
  });
  const { rows, nextCursor } = toPage(found, query.limit, (row) => [row.openedAt, row.id]);
  return { items: [...rows], nextCursor };
};

export const read = async ({ tx }: Work, id: string): Promise<CaseView> => {
  const found = await store.findCase(tx, id);
  if (found === null) throw notFound("case");
  return found;
};

/** The case, when it may still be written to. @throws Problem `record-sealed` once it is closed. */
export const readOpen = async (work: Work, id: string): Promise<CaseView> => {
  const found = await read(work, id);
  const [refusal] = closedCaseIsReadOnly(found.phase, "write");
  if (refusal !== undefined)
    throw new Problem("record-sealed", refusal.detail, { findings: [refusal], recordId: id });
  return found;
};

interface Opening {
  readonly horseId: string;
  readonly phase: Exclude<Phase, "closed">;
  readonly onsetAt?: string | undefined;
  readonly cause?: string | undefined;
  readonly feetAffected: readonly string[];
  readonly leadVetId?: string | undefined;
}

const create = async (work: Work, input: Opening): Promise<string> => {
  const { tx, actor, nowMs } = work;
  const id = newId();
  await tx.case.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId: input.horseId,
      number: await store.nextCaseNumber(tx, actor.practiceId),
      openedAt: new Date(nowMs),
      phase: input.phase,
      phaseSince: new Date(nowMs),
      cause: input.cause ?? null,
      onsetAt: input.onsetAt === undefined ? null : new Date(input.onsetAt),
      feetAffected: [...input.feetAffected],
      leadVetId: input.leadVetId ?? null,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "case.opened",
    subjectType: "case",
    subjectId: id,
    horseId: input.horseId,
    payload: input,
  });
  await recordEvent(work, {
    horseId: input.horseId,
    caseId: id,
    kind: "case",
    title: `Case opened, ${input.phase}`,
    refType: "case",
    refId: id,
    forOwner: "We have opened a case file and are looking after your horse.",
  });
  work.announce("queue");
  return id;
};

const assertHorse = async ({ tx, actor }: Work, horseId: string) => {
  const horse = await tx.horse.findUnique({
    where: { practiceId_id: { practiceId: actor.practiceId, id: horseId } },
  });
  if (horse === null) throw badField("/horseId", "is not a horse you can see");
  return horse;
};

const assertVet = async ({ tx }: Work, id: string): Promise<void> => {
  if ((await tx.person.count({ where: { id, status: "active", roles: { has: "vet" } } })) !== 1)
    throw badField("/leadVetId", "is not an active vet of this practice");
};

/** Opens a case without a phone call, such as for a horse taken on from another practice. */
export const open = async (work: Work, input: NewCase): Promise<CaseView> => {
  await assertHorse(work, input.horseId);
  if (input.leadVetId !== undefined) await assertVet(work, input.leadVetId);
  if (input.onsetAt !== undefined) assertNotFuture(input.onsetAt, work.nowMs, "/onsetAt");
  const openId = await store.lockOpenCase(work.tx, input.horseId);
  if (openId !== null)
    throw new Problem("conflict", "This horse has an open case already; carry on there.", {
      recordId: openId,
    });
  return read(work, await create(work, input));
};

export const judgeCall = (answers: z.output<NonNullable<typeof takePhoneCall.body>>["answers"]) => {
  const triage = phoneCallTriage(defined(answers) as PhoneAnswers);
  return {
    urgency: triage.urgency,
    findings: [...triage.findings],
    nextQuestion: triage.nextQuestion ?? null,
    sendFirstAidSheet: triage.sendFirstAidSheet,
  };
};

/** Records the first call: continues the open case or opens one, and says how soon the vet must come. */
export const takeCall = async (work: Work, input: PhoneCall) => {
  const { tx, actor } = work;
  const horse = await assertHorse(work, input.horseId);
  assertNotFuture(input.calledAt, work.nowMs, "/calledAt");
  const triage = judgeCall(input.answers);
  const caseId =
    (await store.lockOpenCase(tx, input.horseId)) ??
    (await create(work, {
      horseId: input.horseId,
      phase: "acute",
      onsetAt: input.calledAt,
      feetAffected: input.feetAffected,
    }));
  const id = newId();
  await tx.phoneCall.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId: input.horseId,
      caseId,
      calledAt: new Date(input.calledAt),
      caller: input.caller,
      callerPhone: input.callerPhone ?? null,
      takenBy: actor.personId,
      answers: {
        ...defined(input.answers),
        ...(input.notes === undefined ? {} : { notes: input.notes }),
      },
      triage: JSON.parse(JSON.stringify(triage)) as object,
      createdAt: new Date(work.nowMs),
    },
  });
  work.audit({
    event: "phone-call.taken",
    subjectType: "phone call",
    subjectId: id,
    horseId: input.horseId,
    payload: { urgency: triage.urgency },
  });
  await recordEvent(work, {
    horseId: input.horseId,
    caseId,
    kind: "call",
    title: `Phone call: ${triage.urgency}`,
    at: Date.parse(input.calledAt),
    refType: "phone call",
    refId: id,
    data: { urgency: triage.urgency },
    detail: [
      `${input.caller} rang about ${horse.name}.`,
      ...triage.findings.map((finding) => finding.detail),
      input.notes ?? "",
    ]
      .filter((part) => part !== "")
      .join(" "),
    forOwner:
      triage.urgency === "vet now"
        ? "You rang and we asked a vet to come at once."
        : "You rang and we arranged for a vet.",
  });
  work.announce("queue");
  return {
    id,
    case: await read(work, caseId),
    triage,
    calledAt: new Date(input.calledAt).toISOString(),
  };
};

const lock = async (work: Work, id: string, seen: number): Promise<CaseView> => {
  const row = await store.lockCase(work.tx, id);
  if (row === null) throw notFound("case");
  const found = await readOpen(work, id);
  assertVersion(seen, row.version);
  return found;
};

export const change = async (
  work: Work,
  id: string,
  seen: number,
  input: CaseChange,
): Promise<CaseView> => {
  const before = await lock(work, id, seen);
  if (input.leadVetId !== undefined && input.leadVetId !== null)
    await assertVet(work, input.leadVetId);
  for (const field of ["onsetAt", "displacedAt"] as const)
    if (typeof input[field] === "string") assertNotFuture(input[field], work.nowMs, `/${field}`);
  const { onsetAt, displacedAt, soundWithoutReliefSince, ...rest } = input;
  const asDate = (value: string | null | undefined, read: (text: string) => Date) =>
    value === undefined ? undefined : value === null ? null : read(value);
  await work.tx.case.updateMany({
    where: { id },
    data: {
      ...(defined(rest) as object),
      ...defined({
        onsetAt: asDate(onsetAt, (text) => new Date(text)),
        displacedAt: asDate(displacedAt, (text) => new Date(text)),
        soundWithoutReliefSince: asDate(soundWithoutReliefSince, dayColumn),
      }),
      version: seen + 1,
    },
  });
  work.audit({
    event: "case.changed",
    subjectType: "case",
    subjectId: id,
    horseId: before.horse.id,
    payload: changeOf(before, input),
  });
  if (input.cause !== undefined && input.cause !== before.cause)
    await recordEvent(work, {
      horseId: before.horse.id,
      caseId: id,
      kind: "case",
      title: `Cause: ${input.cause ?? "not known"}`,
      detail: input.causeConfidence ?? null,
      refType: "case",
      refId: id,
    });
  work.announce("queue");
  return read(work, id);
};

/** Moves a case to another phase; the note to those who act on it goes with it in one transaction. */
export const movePhase = async (
  work: Work,
  id: string,
  seen: number,
  input: PhaseMove,
): Promise<CaseView> => {
  const before = await lock(work, id, seen);
  const suggested =
    before.onsetAt === null
      ? undefined
      : suggestPhase(
          defined({
            onsetAtMs: Date.parse(before.onsetAt),
            displacedAtMs: before.displacedAt === null ? undefined : Date.parse(before.displacedAt),
          }) as { onsetAtMs: number },
          work.nowMs,
        ).phase;
  const findings = judgePhaseChange({
    from: before.phase,
    to: input.phase,
    byRole: "vet",
    handoffNoteId: "with this change",
    reason: input.reason,
    ...(suggested === undefined ? {} : { suggested }),
  });
  if (!isAllowed(findings))
    throw ruleViolated(
      findings.find((finding) => finding.outcome === "block")?.detail ??
        "This phase cannot follow.",
      findings,
    );
  await work.tx.case.updateMany({
    where: { id },
    data: { phase: input.phase, phaseSince: new Date(work.nowMs), version: seen + 1 },
  });
  work.audit({
    event: "case.phase-changed",
    subjectType: "case",
    subjectId: id,
    horseId: before.horse.id,
    payload: { from: before.phase, to: input.phase, reason: input.reason, findings },
  });
  await recordEvent(work, {
    horseId: before.horse.id,
    caseId: id,
    kind: "phase",
    title: `From ${before.phase} to ${input.phase}`,
    detail: input.reason,
    refType: "case",
    refId: id,
  });
  await sendRequired(
    work,
    { horseId: before.horse.id, caseId: id, refType: "case", refId: id },
    {
      kind: "phase changed",
      horseName: before.horse.name,
      fromPhase: before.phase,
      toPhase: input.phase,
      because: input.reason,
      mustDo: [input.mustDo],
      ringNumber: await practicePhone(work),
      urgent: false,
    },
  );
  work.announce("queue");
  return read(work, id);
};

/** The gentle ending: courses stop, the reset cycle ends, nothing is sent by machine afterwards. */
export const close = async (
  work: Work,
  id: string,
  seen: number,
  input: Closure,
): Promise<CaseView> => {
  const { tx, actor, nowMs } = work;
  const before = await lock(work, id, seen);
  if (
    input.recoveryExaminationId !== undefined &&
    (await tx.examination.count({
      where: { id: input.recoveryExaminationId, horseId: before.horse.id },
    })) !== 1
  )
    throw badField("/recoveryExaminationId", "is not an examination of this horse");
  const talkId = input.welfareTalk === undefined ? undefined : newId();
  const findings = judgePhaseChange({
    from: before.phase,
    to: "closed",
    byRole: "vet",
    handoffNoteId: "told in person",
    closing: defined({
      reason: input.reason,
      welfareTalkRecordId: talkId,
      recoveryRecordId: input.recoveryExaminationId,
      recordsSentTo: input.recordsSentTo,
      farrierToldByPersonId: input.farrierToldById,
      carerToldByPersonId: input.carerToldById,
    }) as { reason: Closure["reason"] },
  });
  if (!isAllowed(findings))
    throw ruleViolated(
      findings.find((finding) => finding.outcome === "block")?.detail ??
        "The case cannot be closed yet.",
      findings,
    );
  const now = new Date(nowMs);
  if (input.welfareTalk !== undefined)
    await recordEvent(work, {
      horseId: before.horse.id,
      caseId: id,
      kind: "welfare talk",
      title: "Talk with the owner about welfare",
      detail: input.welfareTalk,
      refType: "case",
      refId: id,
    });
  await tx.medicationCourse.updateMany({
    where: { horseId: before.horse.id, status: { in: ["signed", "held"] } },
    data: { status: "stopped", stoppedAt: now, stopReason: `case closed: ${input.reason}` },
  });
  await tx.reset.updateMany({
    where: { horseId: before.horse.id, status: { in: ["open", "booked"] } },
    data: { status: "dropped", pausedReason: `case closed: ${input.reason}` },
  });
  await tx.limbWatch.updateMany({
    where: { horseId: before.horse.id, endedAt: null },
    data: {
      endedAt: now,
      endedBy: actor.personId,
      endReason: `case closed: ${input.reason}`,
      version: { increment: 1 },
    },
  });
  const hasDied = input.reason === "welfare decision" || input.reason === "died";
  if (hasDied || input.reason === "moved away")
    await tx.horse.updateMany({
      where: { id: before.horse.id },
      data: { status: hasDied ? "died" : "sold" },
    });
  const sealed = work.signer.seal({
    meaning: "closes the case",
    caseId: id,
    horseId: before.horse.id,
    reason: input.reason,
    note: input.note,
    welfareTalk: input.welfareTalk ?? null,
    signer: { id: actor.personId, name: actor.name, registration: actor.registrationNumber },
    signedAt: now.toISOString(),
  });
  await recordEvent(work, {
    horseId: before.horse.id,
    caseId: id,
    kind: "case",
    title: `Case closed: ${input.reason}`,
    detail: input.note,
    refType: "case",
    refId: id,
    data: {
      signedText: sealed.text,
      signature: sealed.signature,
      keyId: work.signer.keyId,
      farrierToldBy: input.farrierToldById ?? null,
      carerToldBy: input.carerToldById ?? null,
    },
  });
  await tx.case.updateMany({
    where: { id },
    data: {
      phase: "closed",
      phaseSince: now,
      closedAt: now,
      closeReason: input.reason,
      closeNote: input.note,
      version: seen + 1,
    },
  });
  work.audit({
    event: "case.closed",
    subjectType: "case",
    subjectId: id,
    horseId: before.horse.id,
    payload: { reason: input.reason, signature: sealed.signature },
  });
  work.announce("queue");
  return read(work, id);
};

export const timeline = async (work: Work, id: string, query: TimelineQuery) => {
  await read(work, id);
  const after = decodeCursor(query.cursor, 2);
  const found = await store.findEvents(work.tx, id, {
    kind: query.kind,
    after,
    limit: query.limit + 1,
  });
  const { rows, nextCursor } = toPage(found, query.limit, (row) => [row.at, row.id]);
  return { items: [...rows], nextCursor };
};
