import type {
  changePrescription,
  draftPrescription,
  FootPlanView,
  Prescription,
  replyToPrescription,
  signPrescription,
} from "@heelward/contracts";
import { judgeInterval } from "@heelward/domain/cycle";
import { isAllowed, type Finding } from "@heelward/domain/evidence";
import { addDays, localDateOf, withOffset } from "@heelward/domain/time";
import {
  findShoe,
  isCurrentPrescription,
  judgePrescription,
  nextPrescriptionState,
  type FootPlan,
  type PrescriptionAction,
  type PrescriptionActor,
} from "@heelward/domain/trim";
import type { z } from "zod";
import { hasRole } from "../../http/actor.ts";
import { isoOrNull } from "../../http/dates.ts";
import { defined } from "../../http/defined.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem, ruleViolated } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as cases from "../cases/service.ts";
import { sendRequired, write as writeNote } from "../handoffs/service.ts";
import * as horses from "../horses/service.ts";
import { practicePhone } from "../people/practice.ts";
import * as resets from "../resets/service.ts";
import { cyclePhase } from "../resets/standing.ts";
import { assertCatalogue } from "./catalogue.ts";
import { measuresForPlan } from "./film-measures.ts";
import { changeOf } from "../../records/change-of.ts";
import * as store from "./store.ts";

type Draft = z.output<NonNullable<typeof draftPrescription.body>>;
type DraftChange = z.output<NonNullable<typeof changePrescription.body>>;
type Signing = z.output<NonNullable<typeof signPrescription.body>>;
type Reply = z.output<NonNullable<typeof replyToPrescription.body>>;

const view = (row: store.PrescriptionRow): Prescription => ({
  ...row,
  signedAt: isoOrNull(row.signedAt),
  supersededAt: isoOrNull(row.supersededAt),
  repliedAt: isoOrNull(row.repliedAt),
  isCurrent: isCurrentPrescription(row.status),
  messages: row.messages.map((message) => ({
    ...message,
    writtenAt: new Date(message.writtenAt).toISOString(),
  })),
});

/** A plan as the domain's rules read it. */
export const domainPlan = (foot: FootPlanView, doNot: readonly string[]): FootPlan => ({
  foot: foot.foot,
  toeBackMm: foot.toeBackMm,
  breakoverFromP3TipMm: foot.breakoverFromP3TipMm,
  heelRemoveMm: foot.heelRemoveMm,
  palmarAngleTargetDegrees: foot.palmarAngleTargetDegrees,
  soleMinMm: foot.soleMinMm,
  wedgeDegrees: foot.wedgeDegrees,
  shoe: foot.shoe,
  supportFill: foot.supportFill,
  fixing: foot.fixing,
  doNots: doNot,
  ...defined({
    breakoverFromFrogTipMm: foot.breakoverFromFrogTipMm ?? undefined,
    wedgeReason: foot.wedgeReason ?? undefined,
  }),
});

const findRow = async ({ tx }: Work, id: string): Promise<store.PrescriptionRow> => {
  const [row] = await store.findPrescriptions(tx, { id });
  if (row === undefined) throw notFound("prescription");
  return row;
};

export const read = async (work: Work, id: string): Promise<Prescription> =>
  view(await findRow(work, id));

export const list = async (work: Work, caseId: string): Promise<{ items: Prescription[] }> => {
  await cases.read(work, caseId);
  return { items: (await store.findPrescriptions(work.tx, { caseId })).map(view) };
};

const assertFilms = async (work: Work, horseId: string, ids: readonly string[]): Promise<void> => {
  if (
    ids.length > 0 &&
    (await work.tx.radiograph.count({ where: { id: { in: [...ids] }, horseId } })) !==
      new Set(ids).size
  )
    throw badField("/radiographIds", "must name films of this horse");
};

const assertFeet = (feet: readonly FootPlanView[]): void => {
  if (new Set(feet.map((foot) => foot.foot)).size !== feet.length)
    throw badField("/feet", "names a foot twice");
  assertCatalogue(feet, "/feet");
};

/** Everything the rules say about a plan today. */
const judge = async (
  work: Work,
  plan: Pick<
    Prescription,
    "horseId" | "caseId" | "feet" | "doNot" | "conditions" | "intervalDays" | "radiographIds"
  >,
  longerReason: string | undefined,
): Promise<readonly Finding[]> => {
  const found = await cases.read(work, plan.caseId);
  const horse = await horses.read(work, plan.horseId);
  const { films, measures } = await measuresForPlan(work, plan.horseId, plan.radiographIds);
  const phase = cyclePhase(found.phase);
  const interval = judgeInterval({
    phase,
    intervalDays: plan.intervalDays,
    ...(longerReason === undefined
      ? {}
      : { longerBecause: { reason: longerReason, signedByRole: "vet" as const } }),
  });
  const judged = judgePrescription(
    {
      feet: plan.feet.map((foot) => domainPlan(foot, plan.doNot)),
      intervalDays: plan.intervalDays,
      ...defined({ wedgeTrialDays: plan.conditions.wedgeTrialDays }),
    },
    measures,
    {
      phase: found.phase,
      animal: horse.type,
      emergency: plan.conditions.emergency,
      films,
      ceilingDays: Math.max(plan.intervalDays, 1),
      ...defined({ longerReason }),
    },
  );
  return [...interval, ...judged];
};

const plain = (value: unknown) => JSON.parse(JSON.stringify(value)) as object[];

/** Drafts a plan. It is judged at once, but only a signature makes it one to work from. */
export const draft = async (work: Work, caseId: string, input: Draft): Promise<Prescription> => {
  const { tx, actor, nowMs } = work;
  const found = await cases.readOpen(work, caseId);
  assertFeet(input.feet);
  await assertFilms(work, found.horse.id, input.radiographIds);
  const findings = await judge(work, { ...input, horseId: found.horse.id, caseId }, undefined);
  const current = (await store.findPrescriptions(tx, { horseId: found.horse.id })).find((row) =>
    isCurrentPrescription(row.status),
  );
  const id = newId();
  await tx.prescription.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId: found.horse.id,
      caseId,
      number: await store.nextNumber(tx, caseId),
      status: "draft",
      aim: input.aim,
      feet: plain(input.feet),
      doNot: input.doNot,
      conditions: defined(input.conditions),
      intervalDays: input.intervalDays,
      urgent: input.urgent,
      radiographIds: input.radiographIds,
      findings: plain(findings),
      draftedBy: actor.personId,
      replacesId: current?.id ?? null,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "prescription.drafted",
    subjectType: "prescription",
    subjectId: id,
    horseId: found.horse.id,
    payload: input,
  });
  work.announce("queue");
  return read(work, id);
};

const lock = async (work: Work, id: string, seen: number): Promise<store.PrescriptionRow> => {
  const locked = await store.lockPrescription(work.tx, id);
  if (locked === null) throw notFound("prescription");
  const row = await findRow(work, id);
  await cases.readOpen(work, row.caseId);
  assertVersion(seen, locked.version);
  return row;
};

/** The state after an action. @throws Problem when this role may not take it from here. */
const step = (
  row: store.PrescriptionRow,
  action: PrescriptionAction,
  by: PrescriptionActor,
): Prescription["status"] => {
  const judged = nextPrescriptionState(row.status, action, by);
  if (judged.ok) return judged.value;
  throw new Problem(
    row.status === "draft" ? "conflict" : "record-sealed",
    judged.findings[0]?.detail ?? "Not possible from here.",
    { findings: judged.findings, recordId: row.id },
  );
};

export const change = async (
  work: Work,
  id: string,
  seen: number,
  input: DraftChange,
): Promise<Prescription> => {
  const row = await lock(work, id, seen);
  if (row.status !== "draft")
    throw new Problem(
      "record-sealed",
      "A signed plan never changes; draft a new one that replaces it.",
      { recordId: id },
    );
  const merged = { ...row, ...defined(input) } as store.PrescriptionRow;
  assertFeet(merged.feet);
  await assertFilms(work, row.horseId, merged.radiographIds);
  const findings = await judge(work, merged, undefined);
  const { feet, conditions, ...rest } = defined(input);
  await work.tx.prescription.updateMany({
    where: { id },
    data: {
      ...rest,
      ...(feet === undefined ? {} : { feet: plain(feet) }),
      ...(conditions === undefined ? {} : { conditions: defined(conditions) }),
      findings: plain(findings),
      version: seen + 1,
    },
  });
  work.audit({
    event: "prescription.changed",
    subjectType: "prescription",
    subjectId: id,
    horseId: row.horseId,
    payload: changeOf(row, input),
  });
  work.announce("queue");
  return read(work, id);
};

const targets = (row: store.PrescriptionRow): string[] =>
  row.feet.map((foot) => {
    const shoe = findShoe(foot.shoe)?.name ?? foot.shoe;
    return `${foot.foot}: breakover ${foot.breakoverFromP3TipMm} mm ahead of P3, heels ${foot.heelRemoveMm} mm, ${shoe}`;
  });

/**
 * Signs a plan: judged again with the films and the clock of this moment, sealed, made the only
 * current one of the horse, with the notes to farrier and yard, all in one transaction.
 */
export const sign = async (
  work: Work,
  id: string,
  seen: number,
  input: Signing,
): Promise<Prescription> => {
  const { tx, actor, nowMs } = work;
  const row = await lock(work, id, seen);
  await store.lockHorse(tx, row.horseId);
  if (row.radiographIds.length > 0 && !input.readBack.filmOpened)
    throw badField("/readBack/filmOpened", "open the film before you sign");
  const status = step(row, "sign", "vet");
  const findings = await judge(work, row, input.longerIntervalReason);
  if (!isAllowed(findings))
    throw ruleViolated(
      findings.find((finding) => finding.outcome === "block")?.detail ??
        "This plan cannot be signed.",
      findings,
    );
  const reasons = new Map(input.overrides.map((one) => [one.rule, one.reason]));
  const unanswered = findings.filter(
    (finding) =>
      finding.outcome === "warn" &&
      !reasons.has(finding.rule) &&
      finding.rule !== "cycle/interval-ceiling@1",
  );
  if (unanswered.length > 0)
    throw ruleViolated(
      `Write a reason for: ${unanswered.map((finding) => finding.detail).join(" ")}`,
      findings,
    );
  const horse = await horses.read(work, row.horseId);
  const before = (await store.findPrescriptions(tx, { horseId: row.horseId })).find(
    (one) => one.id !== id && isCurrentPrescription(one.status),
  );
  const signedAt = new Date(nowMs);
  const sealed = work.signer.seal({
    meaning: "prescribes trim and shoe",
    prescriptionId: id,
    number: row.number,
    caseId: row.caseId,
    horse: { id: row.horseId, name: horse.name, microchip: horse.microchip },
    aim: row.aim,
    feet: row.feet,
    doNot: row.doNot,
    conditions: row.conditions,
    intervalDays: row.intervalDays,
    longerIntervalReason: input.longerIntervalReason ?? null,
    radiographIds: row.radiographIds,
    findings,
    overrides: input.overrides,
    replaces: before?.id ?? null,
    signer: { id: actor.personId, name: actor.name, registration: actor.registrationNumber },
    signedAt: withOffset(nowMs, horse.yard.timeZone),
  });
  if (before !== undefined) {
    await tx.prescription.updateMany({
      where: { id: before.id },
      data: { status: "superseded", supersededAt: signedAt, version: before.version + 1 },
    });
    work.audit({
      event: "prescription.superseded",
      subjectType: "prescription",
      subjectId: before.id,
      horseId: row.horseId,
      payload: { by: id },
    });
  }
  await tx.prescription.updateMany({
    where: { id },
    data: {
      status,
      findings: plain(findings),
      overrides: plain(input.overrides),
      signedBy: actor.personId,
      signedAt,
      signedText: sealed.text,
      signature: sealed.signature,
      signingKeyId: work.signer.keyId,
      replacesId: before?.id ?? null,
      version: seen + 1,
    },
  });
  const [running] = await resets.openRows(work, { horseId: row.horseId });
  if (running !== undefined && running.intervalDays !== row.intervalDays)
    await resets.setInterval(work, running, row.intervalDays, input.longerIntervalReason ?? null);
  work.audit({
    event: "prescription.signed",
    subjectType: "prescription",
    subjectId: id,
    horseId: row.horseId,
    payload: { signature: sealed.signature, keyId: work.signer.keyId, overrides: input.overrides },
  });
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "prescription",
    title: `Plan ${row.number} signed`,
    detail: row.aim,
    refType: "prescription",
    refId: id,
    data: { overrides: input.overrides },
    forOwner: `The vet signed a new plan for the feet: ${row.aim}`,
  });
  await sendRequired(
    work,
    { horseId: row.horseId, caseId: row.caseId, refType: "prescription", refId: id },
    {
      kind: "prescription signed",
      horseName: horse.name,
      feet: row.feet.map((foot) => foot.foot),
      aim: row.aim,
      targets: targets(row),
      doNots: row.doNot,
      changedFromLast: before === undefined ? [] : [`replaces plan ${before.number}`],
      nextResetOn: addDays(localDateOf(nowMs, horse.yard.timeZone), row.intervalDays),
      ringNumber: await practicePhone(work),
      urgent: row.urgent,
    },
    input.note,
  );
  work.announce("queue");
  work.announce("prescriptions");
  return read(work, id);
};

const say = async (
  work: Work,
  row: store.PrescriptionRow,
  kind: "accepted" | "queried" | "answered" | "declined",
  text: string | null,
  counterProposal?: unknown,
): Promise<void> => {
  await work.tx.prescriptionMessage.create({
    data: {
      practiceId: work.actor.practiceId,
      id: newId(),
      horseId: row.horseId,
      prescriptionId: row.id,
      kind,
      text,
      ...(counterProposal === undefined
        ? {}
        : { counterProposal: JSON.parse(JSON.stringify(counterProposal)) as object }),
      writtenBy: work.actor.personId,
      writtenAt: new Date(work.nowMs),
      createdAt: new Date(work.nowMs),
    },
  });
};

const ACTION = { accepted: "accept", queried: "query", declined: "decline" } as const;
const TITLE = { accepted: "accepted", queried: "questioned", declined: "declined" } as const;

/** The farrier accepts, asks, or declines with a reason. A decline is a proper outcome and reaches the vet at once. */
export const reply = async (
  work: Work,
  id: string,
  seen: number,
  input: Reply,
): Promise<Prescription> => {
  const { tx, actor, nowMs } = work;
  const row = await lock(work, id, seen);
  const status = step(row, ACTION[input.reply], "farrier");
  await say(work, row, input.reply, input.text ?? null, input.counterProposal);
  await tx.prescription.updateMany({
    where: { id },
    data: { status, repliedBy: actor.personId, repliedAt: new Date(nowMs), version: seen + 1 },
  });
  work.audit({
    event: `prescription.${input.reply}`,
    subjectType: "prescription",
    subjectId: id,
    horseId: row.horseId,
    payload: input,
  });
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "prescription",
    title: `Plan ${row.number} ${TITLE[input.reply]} by the farrier`,
    detail: input.text ?? null,
    refType: "prescription",
    refId: id,
    data: { counterProposal: input.counterProposal ?? null },
  });
  if (input.reply !== "accepted")
    await writeNote(work, {
      horseId: row.horseId,
      toRole: "vet",
      urgent: input.reply === "declined" || row.urgent,
      situation:
        `${row.horse.name}: the farrier ${input.reply === "declined" ? "declines" : "asks about"} plan ${row.number}`.slice(
          0,
          200,
        ),
      found: input.text?.slice(0, 400),
      mustDo:
        input.reply === "declined"
          ? "Read the reason and plan a joint visit or a new plan"
          : "Answer on the prescription",
      byWhen: input.reply === "declined" ? "today" : "before the visit",
    });
  work.announce("queue");
  work.announce("prescriptions");
  return read(work, id);
};

/** The vet answers a question; the signed plan stays as it is and is the farrier's to accept again. */
export const answer = async (
  work: Work,
  id: string,
  seen: number,
  text: string,
): Promise<Prescription> => {
  const row = await lock(work, id, seen);
  const status = step(row, "answer", "vet");
  await say(work, row, "answered", text);
  await work.tx.prescription.updateMany({ where: { id }, data: { status, version: seen + 1 } });
  work.audit({
    event: "prescription.answered",
    subjectType: "prescription",
    subjectId: id,
    horseId: row.horseId,
    payload: { text },
  });
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "prescription",
    title: `Question on plan ${row.number} answered`,
    detail: text,
    refType: "prescription",
    refId: id,
  });
  work.announce("queue");
  return read(work, id);
};

export const withdraw = async (
  work: Work,
  id: string,
  seen: number,
  reason: string,
): Promise<Prescription> => {
  const row = await lock(work, id, seen);
  const status = step(row, "withdraw", "vet");
  await work.tx.prescription.updateMany({ where: { id }, data: { status, version: seen + 1 } });
  work.audit({
    event: "prescription.withdrawn",
    subjectType: "prescription",
    subjectId: id,
    horseId: row.horseId,
    payload: { reason },
  });
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "prescription",
    title: `Plan ${row.number} withdrawn`,
    detail: reason,
    refType: "prescription",
    refId: id,
  });
  if (row.status !== "draft" && hasRole(work.actor, "vet"))
    await writeNote(work, {
      horseId: row.horseId,
      toRole: "farrier",
      urgent: true,
      situation: `${row.horse.name}: plan ${row.number} is withdrawn`,
      found: reason.slice(0, 400),
      mustDo: "Do not work from it; wait for the next signed plan",
    });
  work.announce("queue");
  return read(work, id);
};

/** Marks a plan as carried out, inside the transaction of the shoeing record. */
export const markDone = async (
  work: Work,
  id: string,
  horseId: string,
): Promise<store.PrescriptionRow> => {
  const locked = await store.lockPrescription(work.tx, id);
  if (locked === null || locked.horseId !== horseId)
    throw badField("/prescriptionId", "is not a prescription of this horse");
  const row = await findRow(work, id);
  const judged = nextPrescriptionState(row.status, "record-done", "farrier");
  if (!judged.ok)
    throw new Problem(
      "conflict",
      row.status === "draft"
        ? "This plan is a draft, not signed: do not work from it."
        : row.status === "superseded"
          ? "This plan was replaced; look at the current one first."
          : `This plan is ${row.status}; accept it before you record the work.`,
      { recordId: id, findings: judged.findings },
    );
  await work.tx.prescription.updateMany({
    where: { id },
    data: { status: judged.value, version: row.version + 1 },
  });
  return row;
};
