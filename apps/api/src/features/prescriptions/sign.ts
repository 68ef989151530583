import type { Prescription, signPrescription } from "@heelward/contracts";
import { type Finding, isAllowed } from "@heelward/domain/evidence";
import { addDays, localDateOf, withOffset } from "@heelward/domain/time";
import {
  CONSENT_RULE,
  findShoe,
  isCurrentPrescription,
  type OwnCatalogue,
} from "@heelward/domain/trim";
import type { z } from "zod";
import { badField, ruleViolated } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import { practiceCatalogue } from "../catalogue/service.ts";
import { sendRequired } from "../handoffs/service.ts";
import * as horses from "../horses/service.ts";
import { practicePhone } from "../people/practice.ts";
import * as resets from "../resets/service.ts";
import { assertCatalogue } from "./catalogue.ts";
import { judge } from "./judge.ts";
import { lock, step } from "./lock.ts";
import * as store from "./store.ts";
import { plain, read } from "./views.ts";

type Signing = z.output<NonNullable<typeof signPrescription.body>>;

const targets = (row: store.PrescriptionRow, own: OwnCatalogue): string[] =>
  row.feet.map((foot) => {
    const shoe = findShoe(foot.shoe, own)?.name ?? foot.shoe;
    return `${foot.foot}: breakover ${foot.breakoverFromP3TipMm} mm ahead of P3, heels ${foot.heelRemoveMm} mm, ${shoe}`;
  });

/** The practice's own devices a plan names, in words: its ids alone would say nothing outside. */
const devicesNamed = (row: store.PrescriptionRow, own: OwnCatalogue) =>
  [...(own.shoes ?? []), ...(own.fills ?? []), ...(own.fixings ?? [])]
    .filter(({ id }) =>
      row.feet.some((foot) => [foot.shoe, foot.supportFill, foot.fixing].includes(id)),
    )
    .map(({ id, name }) => ({ id, name }));

/** What stands for the owner's agreement in the signed text; null for a plan without a device. */
const consentOf = (
  row: store.PrescriptionRow,
  findings: readonly Finding[],
  reasons: ReadonlyMap<string, string>,
) => {
  const finding = findings.find(({ rule }) => rule === CONSENT_RULE);
  if (finding === undefined) return null;
  return row.consent ?? { waived: reasons.get(CONSENT_RULE) ?? finding.detail };
};

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
  const catalogue = await practiceCatalogue(work);
  assertCatalogue(row.feet, "/feet", catalogue);
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
  const consent = consentOf(row, findings, reasons);
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
    devices: devicesNamed(row, catalogue),
    doNot: row.doNot,
    conditions: row.conditions,
    intervalDays: row.intervalDays,
    longerIntervalReason: input.longerIntervalReason ?? null,
    radiographIds: row.radiographIds,
    findings,
    overrides: input.overrides,
    cost: row.cost,
    consent,
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
  await resets.followSignedInterval(work, row.horseId, row.intervalDays);
  work.audit({
    event: "prescription.signed",
    subjectType: "prescription",
    subjectId: id,
    horseId: row.horseId,
    payload: {
      signature: sealed.signature,
      keyId: work.signer.keyId,
      overrides: input.overrides,
      consent,
    },
  });
  await recordEvent(work, {
    horseId: row.horseId,
    caseId: row.caseId,
    kind: "prescription",
    title: `Plan ${row.number} signed`,
    detail: row.aim,
    refType: "prescription",
    refId: id,
    data: { overrides: input.overrides, consent },
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
      targets: targets(row, catalogue),
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
