import type { addPasskey, listFactors, startAppCode } from "@heelward/contracts";
import type { z } from "zod";
import { hasRole, type Actor } from "../../http/actor.ts";
import { isoOrNull } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import type { MailRoom } from "../../mail/outbox.ts";
import type { Sealer } from "../../mail/sealer.ts";
import { enrolmentOf, newAppKey, stepOfCode } from "./app-code.ts";
import * as store from "./factor-store.ts";
import { challengeIn, enrolmentOptions, readNewPasskey, type Site } from "./passkeys.ts";
import { hashOfRecoveryCode, newRecoveryCodes } from "./recovery-codes.ts";
import { sealedTo } from "./second-factor.ts";
import { tellOfChange } from "./tell-of-change.ts";

type NewPasskey = z.output<NonNullable<typeof addPasskey.body>>;
type Added = z.input<typeof addPasskey.response>;

const MOST_FACTORS = 10;

/** The roles a practice may ask for a second factor: those who sign and those who hand out access. */
const isAsked = (actor: Actor): boolean => hasRole(actor, "vet", "manager");

const view = (row: store.FactorRow): Added["factor"] => ({
  id: row.id,
  kind: row.kind === "passkey" ? "passkey" : "app code",
  name: row.name,
  addedAt: row.createdAt.toISOString(),
  lastUsedAt: isoOrNull(row.lastUsedAt),
});

const isPracticeRule = async ({ tx, actor }: Work): Promise<boolean> =>
  (await tx.practice.findUniqueOrThrow({ where: { id: actor.practiceId } })).secondFactorRequired;

/** The caller's own factors. */
export const list = async (work: Work): Promise<z.input<typeof listFactors.response>> => {
  const rows = await store.findFactors(work.tx, work.actor.personId);
  const isRule = await isPracticeRule(work);
  return {
    items: store.inForce(rows).map(view),
    recoveryCodesLeft: rows.filter((row) => row.kind === "recovery code").length,
    isRequired: isRule && isAsked(work.actor),
    isPracticeRule: isRule,
  };
};

const note = (work: Work, event: string, factorId: string | null, payload: unknown = null): void =>
  work.audit({
    event,
    subjectType: "second factor",
    subjectId: factorId,
    horseId: null,
    payload,
  });

const giveRecoveryCodes = async (work: Work): Promise<string[]> => {
  const { tx, actor, nowMs } = work;
  const codes = newRecoveryCodes();
  await tx.secondFactor.deleteMany({
    where: { personId: actor.personId, kind: "recovery code" },
  });
  await tx.secondFactor.createMany({
    data: codes.map((code) => ({
      practiceId: actor.practiceId,
      id: newId(),
      personId: actor.personId,
      kind: "recovery code",
      name: "recovery code",
      secret: hashOfRecoveryCode(actor.personId, code),
      confirmedAt: new Date(nowMs),
      createdAt: new Date(nowMs),
    })),
  });
  return [...codes];
};

const assertRoom = (rows: readonly store.FactorRow[]): void => {
  if (store.inForce(rows).length >= MOST_FACTORS)
    throw new Problem("conflict", `${MOST_FACTORS} second factors are enough; remove one first.`);
};

const finish = async (
  work: Work,
  before: readonly store.FactorRow[],
  id: string,
  mail: MailRoom | undefined,
): Promise<Added> => {
  const row = await work.tx.secondFactor.findUniqueOrThrow({
    where: { practiceId_id: { practiceId: work.actor.practiceId, id } },
  });
  const isFirst = store.inForce(before).length === 0;
  note(work, "second-factor.added", id, { kind: row.kind });
  await tellOfChange(work, work.actor.personId, "a second factor was added", mail);
  return { factor: view(row), recoveryCodes: isFirst ? await giveRecoveryCodes(work) : null };
};

/** Makes a key for an app. It counts only once its first code came back. */
export const startApp = async (
  work: Work,
  name: string,
  sealer: Sealer,
): Promise<z.input<typeof startAppCode.response>> => {
  const { tx, actor, nowMs } = work;
  const rows = await store.lockFactors(tx, actor.personId);
  assertRoom(rows);
  await tx.secondFactor.deleteMany({
    where: { personId: actor.personId, kind: "app code", confirmedAt: null },
  });
  const id = newId();
  const key = newAppKey();
  await tx.secondFactor.create({
    data: {
      practiceId: actor.practiceId,
      id,
      personId: actor.personId,
      kind: "app code",
      name,
      secret: sealer.seal(key, sealedTo(id)),
      createdAt: new Date(nowMs),
    },
  });
  note(work, "second-factor.started", id);
  const { email } = await tx.person.findUniqueOrThrow({
    where: { practiceId_id: { practiceId: actor.practiceId, id: actor.personId } },
  });
  return { id, key, ...enrolmentOf(key, email) };
};

/** The first code of an app: from now on it is asked at every sign-in. */
export const confirmApp = async (
  work: Work,
  id: string,
  code: string,
  sealer: Sealer,
  mail: MailRoom | undefined,
): Promise<Added> => {
  const { tx, actor, nowMs } = work;
  const rows = await store.lockFactors(tx, actor.personId);
  const row = rows.find((one) => one.id === id && one.kind === "app code");
  if (row === undefined || row.secret === null) throw notFound("second factor");
  if (row.confirmedAt !== null) throw new Problem("conflict", "This app was confirmed already.");
  const step = stepOfCode(sealer.open(row.secret, sealedTo(id)), code, nowMs, 0);
  if (step === null)
    throw badField("/code", "is not what this app shows now; check the clock of the phone");
  await tx.secondFactor.updateMany({
    where: { id },
    data: { confirmedAt: new Date(nowMs), lastUsedAt: new Date(nowMs), counter: BigInt(step) },
  });
  return finish(work, rows, id, mail);
};

/** What the browser needs to make a passkey. */
export const startPasskey = async (work: Work, site: Site) => {
  const { tx, actor } = work;
  const rows = await store.findFactors(tx, actor.personId);
  assertRoom(rows);
  const { email } = await tx.person.findUniqueOrThrow({
    where: { practiceId_id: { practiceId: actor.practiceId, id: actor.personId } },
  });
  const options = await enrolmentOptions(
    site,
    { id: actor.personId, email, name: actor.name },
    rows.filter((row) => row.kind === "passkey").map(store.asPasskey),
  );
  await store.keepChallenge(tx, { ...actor, nowMs: work.nowMs }, "enrolment", options.challenge);
  return { options: { ...options } };
};

/** Keeps a passkey the browser made for the challenge of a moment ago. */
export const addPasskeyOf = async (
  work: Work,
  input: NewPasskey,
  site: Site,
  mail: MailRoom | undefined,
): Promise<Added> => {
  const { tx, actor, nowMs } = work;
  const rows = await store.lockFactors(tx, actor.personId);
  assertRoom(rows);
  const challenge = challengeIn(input.answer);
  const isOurs =
    challenge !== null &&
    (await store.takeChallenge(tx, { ...actor, nowMs }, "enrolment", challenge));
  if (!isOurs) throw badField("/answer", "does not answer what was asked; start again");
  const passkey = await readNewPasskey(site, challenge, input.answer);
  const id = newId();
  await tx.secondFactor.create({
    data: {
      practiceId: actor.practiceId,
      id,
      personId: actor.personId,
      kind: "passkey",
      name: input.name,
      credentialId: passkey.credentialId,
      publicKey: passkey.publicKey,
      transports: [...passkey.transports],
      counter: passkey.counter,
      confirmedAt: new Date(nowMs),
      createdAt: new Date(nowMs),
    },
  });
  return finish(work, rows, id, mail);
};

/** Removes a factor. The last one stays while the practice asks for one. */
export const remove = async (work: Work, id: string, mail: MailRoom | undefined): Promise<null> => {
  const { tx, actor } = work;
  const rows = await store.lockFactors(tx, actor.personId);
  const row = rows.find((one) => one.id === id && one.kind !== "recovery code");
  if (row === undefined) throw notFound("second factor");
  const isLast = store.inForce(rows).every((one) => one.id === id);
  if (isLast && isAsked(actor) && (await isPracticeRule(work)))
    throw new Problem("conflict", "Your practice asks for a second factor; add another one first.");
  await tx.secondFactor.deleteMany({
    where: { personId: actor.personId, ...(isLast ? {} : { id }) },
  });
  note(work, "second-factor.removed", id, { kind: row.kind });
  await tellOfChange(work, actor.personId, "a second factor was removed", mail);
  return null;
};

/** New recovery codes; the old ones stop working. */
export const renewCodes = async (work: Work) => {
  const rows = await store.lockFactors(work.tx, work.actor.personId);
  if (store.inForce(rows).length === 0)
    throw new Problem("conflict", "Add an app or a passkey first.");
  note(work, "recovery-codes.renewed", null);
  return { recoveryCodes: await giveRecoveryCodes(work) };
};

/** Removes everything a person signs in with beside the password, after a lost phone. */
export const clearOf = async (
  work: Work,
  personId: string,
  mail: MailRoom | undefined,
): Promise<null> => {
  const { tx, actor, nowMs } = work;
  const person = await tx.person.findUnique({
    where: { practiceId_id: { practiceId: actor.practiceId, id: personId } },
  });
  if (person === null) throw notFound("person");
  await tx.secondFactor.deleteMany({ where: { personId } });
  await tx.session.updateMany({
    where: { personId, revokedAt: null },
    data: { revokedAt: new Date(nowMs) },
  });
  work.announce("session");
  work.audit({
    event: "second-factors.cleared",
    subjectType: "person",
    subjectId: personId,
    horseId: null,
    payload: null,
  });
  await tellOfChange(work, personId, "your second factors were removed by your practice", mail);
  return null;
};

/** Whether every vet and manager needs a second factor from the next request on. */
export const changePolicy = async (work: Work, isSecondFactorRequired: boolean) => {
  const { tx, actor } = work;
  const before = await isPracticeRule(work);
  await tx.practice.updateMany({
    where: { id: actor.practiceId },
    data: { secondFactorRequired: isSecondFactorRequired },
  });
  work.audit({
    event: "sign-in-policy.changed",
    subjectType: "practice",
    subjectId: actor.practiceId,
    horseId: null,
    payload: {
      before: { isSecondFactorRequired: before },
      after: { isSecondFactorRequired },
    },
  });
  return { isSecondFactorRequired };
};
