import type { FeedingPlanView, judgeFeedingPlan, signFeedingPlan } from "@heelward/contracts";
import { feedingPlan, type FeedingRequest } from "@heelward/domain/metabolic";
import { weightInForce } from "@heelward/domain/medication";
import { localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import { dayColumn } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { notFound, Problem, ruleViolated } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import * as handoffs from "../handoffs/service.ts";
import { asJson } from "../medication/as-json.ts";
import { lockMedication, readMedication, type HorseMedication } from "../medication/context.ts";
import { lockTreatable, signer } from "../medication/course-lock.ts";
import { horseOf } from "../medication/read-model.ts";
import { metabolicFigures, weightFigures } from "./figures.ts";
import * as store from "./store.ts";

type Ration = z.output<NonNullable<typeof judgeFeedingPlan.body>>;
type NewPlan = z.output<NonNullable<typeof signFeedingPlan.body>>;

/** Phases in which the laminitis counts as active: no grass. Source: house rule. */
const ACTIVE_PHASES: readonly string[] = ["acute", "subacute", "chronic active"];

const weightOf = ({ context }: HorseMedication): number => {
  const weight = weightInForce(context);
  if (weight === undefined)
    throw new Problem("conflict", "There is no usable weight on file: weigh the horse first.");
  return weight.weightKg;
};

const requestOf = (
  medication: HorseMedication,
  ration: Ration,
  vetSigned: boolean,
): FeedingRequest => ({
  weightKg: weightOf(medication),
  animalType: medication.horse.type,
  dryMatterPercent: ration.dryMatterPercent,
  forage: ration.forage,
  dryShare: ration.dryShare,
  soakHours: ration.soakHours,
  activePhase: ACTIVE_PHASES.includes(medication.horse.phase ?? ""),
  grazing: ration.grazing,
  offFeedHours: ration.offFeedHours,
  vetSigned,
});

const judgeRation = async (work: Work, request: FeedingRequest) =>
  feedingPlan(request, await metabolicFigures(work), await weightFigures(work));

const view = (row: store.FeedingRow): FeedingPlanView => ({
  ...row,
  ...row.request,
  plan: { ...row.plan, instructions: [...row.plan.instructions] },
  findings: [...row.findings],
  signedAt: row.signedAt.toISOString(),
  endedAt: row.endedAt?.toISOString() ?? null,
});

/** The ration on paper. Under 1.5 % it is shown as needing the vet's signature. */
export const judge = async (work: Work, horseId: string, ration: Ration) => {
  const medication = await readMedication(work, horseId);
  const request = requestOf(medication, ration, false);
  const judged = await judgeRation(work, request);
  return {
    weightKg: request.weightKg,
    activePhase: request.activePhase,
    allowed: judged.ok,
    plan: judged.ok ? { ...judged.value, instructions: [...judged.value.instructions] } : null,
    findings: [...judged.findings],
  };
};

const end = async (work: Work, row: store.FeedingRow, reason: string): Promise<void> => {
  await work.tx.feedingPlan.updateMany({
    where: { id: row.id },
    data: { endedAt: new Date(work.nowMs), endReason: reason, version: { increment: 1 } },
  });
  work.audit({
    event: "ration.ended",
    subjectType: "feeding plan",
    subjectId: row.id,
    horseId: row.horse.id,
    payload: { reason },
  });
};

/** A vet signs the ration; the floor of 1 % holds even against a signature. */
export const sign = async (
  work: Work,
  horseId: string,
  { targetWeightKg, instructions, ...ration }: NewPlan,
): Promise<FeedingPlanView> => {
  const { tx, actor, nowMs } = work;
  const medication = await lockTreatable(work, horseId, null);
  const { horse } = medication;
  const by = signer(work);
  const request = requestOf(medication, ration, true);
  const judged = await judgeRation(work, request);
  if (!judged.ok)
    throw ruleViolated(
      judged.findings.find((finding) => finding.outcome === "block")?.detail ??
        "This ration is not allowed.",
      judged.findings,
    );
  const id = newId();
  const startsOn = localDateOf(nowMs, horse.timeZone);
  const stored: store.StoredFeedingRequest = {
    weightKg: request.weightKg,
    dryMatterPercent: ration.dryMatterPercent,
    forage: ration.forage,
    dryShare: ration.dryShare,
    soakHours: ration.soakHours ?? null,
    grazing: ration.grazing,
    activePhase: request.activePhase,
  };
  const document = work.signer.seal(
    asJson({
      meaning: "signs the ration",
      feedingPlanId: id,
      horseId,
      request: stored,
      plan: judged.value,
      findings: judged.findings,
      targetWeightKg: targetWeightKg ?? null,
      instructions: instructions ?? null,
      startsOn,
      signer: by,
      signedAt: new Date(nowMs).toISOString(),
    }),
  );
  const [current] = await store.findFeedingPlans(tx, { horseId, current: true });
  if (current !== undefined) await end(work, current, "replaced by a new ration");
  await tx.feedingPlan.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId,
      caseId: horse.openCaseId,
      request: asJson(stored),
      plan: asJson(judged.value),
      findings: asJson(judged.findings),
      targetWeightKg: targetWeightKg ?? null,
      instructions: instructions ?? null,
      startsOn: dayColumn(startsOn),
      signedBy: actor.personId,
      signedAt: new Date(nowMs),
      signedText: document.text,
      signature: document.signature,
      signingKeyId: work.signer.keyId,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "ration.signed",
    subjectType: "feeding plan",
    subjectId: id,
    horseId,
    payload: { request: stored, signature: document.signature },
  });
  const perDay = `${judged.value.asFedKg.toFixed(1)} kg of ${ration.forage} a day, weighed dry`;
  await recordEvent(work, {
    horseId,
    caseId: horse.openCaseId,
    kind: "feeding",
    title: `Ration signed: ${perDay}`,
    detail: instructions ?? null,
    refType: "feeding plan",
    refId: id,
    forOwner: `Feed ${perDay}${ration.grazing ? "" : "; no grass"}.`,
  });
  await handoffs.write(work, {
    horseId,
    toRole: "carer",
    urgent: false,
    situation: `${horse.name}: new ration from today`.slice(0, 200),
    mustDo: `Feed ${perDay}${ration.grazing ? "" : ", no grass"}; never under ${judged.value.floorAsFedKg.toFixed(1)} kg`,
    callMeIf: "Feed is left, or the horse is dull: stop the restriction and ring the same day",
  });
  work.announce("queue");
  return find(work, id);
};

const find = async (work: Work, id: string): Promise<FeedingPlanView> => {
  const [row] = await store.findFeedingPlans(work.tx, { id });
  if (row === undefined) throw notFound("ration");
  return view(row);
};

/** The ration in force. */
export const read = async (work: Work, horseId: string): Promise<FeedingPlanView> => {
  await horseOf(work, horseId);
  const [row] = await store.findFeedingPlans(work.tx, { horseId, current: true });
  if (row === undefined) throw notFound("ration in force");
  return view(row);
};

export const close = async (
  work: Work,
  id: string,
  seen: number,
  reason: string,
): Promise<FeedingPlanView> => {
  const before = await find(work, id);
  await lockMedication(work, before.horse.id);
  const [row] = await store.findFeedingPlans(work.tx, { id });
  if (row === undefined) throw notFound("ration");
  assertVersion(seen, row.version);
  if (row.endedAt !== null)
    throw new Problem("conflict", "This ration has ended already.", { recordId: id });
  await end(work, row, reason);
  await recordEvent(work, {
    horseId: row.horse.id,
    caseId: row.caseId,
    kind: "feeding",
    title: "Ration ended",
    detail: reason,
    refType: "feeding plan",
    refId: id,
  });
  work.announce("queue");
  return find(work, id);
};
