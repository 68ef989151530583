import { setTimeout as pause } from "node:timers/promises";
import type { handOutNewPassword } from "@heelward/contracts";
import type { z } from "zod";
import type { Dependencies } from "../../app.ts";
import { enterPractice, whileSigningIn } from "../../database/client.ts";
import { newId } from "../../http/new-id.ts";
import { notFound, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { queueLetter, type MailRoom } from "../../mail/outbox.ts";
import { appendAudit } from "../../records/audit.ts";
import { sha256Hex } from "../../records/canonical.ts";
import { checkOwnPassword } from "./confirm.ts";
import { hashPassword } from "./password.ts";
import { lockAccount, lockPasswordReset } from "./store.ts";
import { tellOfChange } from "./tell-of-change.ts";
import { newSecret } from "./tokens.ts";

const LINK_MS = 60 * 60_000;
/** A link that is handed over by a person may take longer to arrive. */
const HANDED_LINK_MS = 24 * 3_600_000;
/** More letters than this in an hour help nobody but somebody who wants to annoy. */
const MOST_LINKS_AN_HOUR = 3;
/** Every answer takes this long, so that it does not tell whether there is such an account. */
const ANSWER_MS = 250;

/** Another password; every other session of the person ends. */
export const change = async (
  work: Work,
  current: string,
  next: string,
  mail: MailRoom | undefined,
): Promise<null> => {
  const { tx, actor, nowMs } = work;
  await checkOwnPassword(work, current);
  const passwordHash = await hashPassword(next, "/next");
  await tx.person.updateMany({ where: { id: actor.personId }, data: { passwordHash } });
  await tx.session.updateMany({
    where: { personId: actor.personId, id: { not: actor.sessionId }, revokedAt: null },
    data: { revokedAt: new Date(nowMs) },
  });
  work.announce("session");
  work.audit({
    event: "password.changed",
    subjectType: "person",
    subjectId: actor.personId,
    horseId: null,
    payload: null,
  });
  await tellOfChange(work, actor.personId, "your password was changed", mail);
  return null;
};

interface From {
  readonly nowMs: number;
  readonly requestId: string;
}

const sendLink = (dependencies: Dependencies, email: string, from: From): Promise<void> =>
  whileSigningIn(dependencies.db, async (tx) => {
    const account = await lockAccount(tx, email);
    const { mail } = dependencies;
    if (account === null || account.status !== "active" || mail === undefined) return;
    const { practiceId, id: personId } = account;
    await enterPractice(tx, { practiceId, personId, roles: ["system"] });
    const recent = await tx.passwordReset.count({
      where: { personId, createdAt: { gt: new Date(from.nowMs - 3_600_000) } },
    });
    if (recent >= MOST_LINKS_AN_HOUR) return;
    const id = newId();
    const { secret, hash } = newSecret();
    await tx.passwordReset.create({
      data: {
        practiceId,
        id,
        personId,
        tokenHash: hash,
        expiresAt: new Date(from.nowMs + LINK_MS),
        createdAt: new Date(from.nowMs),
      },
    });
    await queueLetter(
      tx,
      practiceId,
      from.nowMs,
      "new password",
      { resetId: id, to: email },
      { sealer: mail.sealer, secret },
    );
    await appendAudit(
      tx,
      {
        practiceId,
        actorId: null,
        actorRoles: [],
        requestId: from.requestId,
        clientTime: null,
        atMs: from.nowMs,
      },
      [
        {
          event: "password-link.asked",
          subjectType: "person",
          subjectId: personId,
          horseId: null,
          payload: null,
        },
      ],
    );
    await tx.$executeRaw`SELECT pg_notify('heelward_changes', ${JSON.stringify({ practiceId, topics: ["outbox"] })})`;
  });

/** Sends a link if there is such an account. The answer and its time are the same if there is none. */
export const ask = async (dependencies: Dependencies, email: string, from: From): Promise<null> => {
  await Promise.all([sendLink(dependencies, email, from), pause(ANSWER_MS)]);
  return null;
};

/** Chooses a new password by a link. Every session and every other link of the person ends. */
export const choose = async (
  { db }: Dependencies,
  token: string,
  password: string,
  from: From,
): Promise<null> => {
  const passwordHash = await hashPassword(password);
  return whileSigningIn(db, async (tx) => {
    const found = await lockPasswordReset(tx, sha256Hex(token));
    const gone = new Problem(
      "not-found",
      "This link was used already or has run out. Ask for a new one.",
    );
    if (found === null || found.usedAt !== null || found.expiresAt.getTime() <= from.nowMs)
      throw gone;
    const { practiceId, personId } = found;
    await enterPractice(tx, { practiceId, personId, roles: ["system"] });
    const now = new Date(from.nowMs);
    const { count } = await tx.person.updateMany({
      where: { id: personId, status: "active" },
      data: { passwordHash, failedSignIns: 0, lockedUntil: null },
    });
    if (count === 0) throw gone;
    await tx.passwordReset.updateMany({
      where: { personId, usedAt: null },
      data: { usedAt: now },
    });
    await tx.session.updateMany({
      where: { personId, revokedAt: null },
      data: { revokedAt: now },
    });
    await appendAudit(
      tx,
      {
        practiceId,
        actorId: personId,
        actorRoles: [],
        requestId: from.requestId,
        clientTime: null,
        atMs: from.nowMs,
      },
      [
        {
          event: "password.reset",
          subjectType: "person",
          subjectId: personId,
          horseId: null,
          payload: { resetId: found.id },
        },
      ],
    );
    await tx.$executeRaw`SELECT pg_notify('heelward_changes', ${JSON.stringify({ practiceId, topics: ["session"] })})`;
    return null;
  });
};

/** A link a manager hands over to somebody who cannot be reached by mail. The person is told by letter all the same. */
export const handOut = async (
  work: Work,
  personId: string,
  mail: MailRoom | undefined,
): Promise<z.input<typeof handOutNewPassword.response>> => {
  const { tx, actor, nowMs } = work;
  const person = await tx.person.findUnique({
    where: { practiceId_id: { practiceId: actor.practiceId, id: personId } },
  });
  if (person === null || person.status !== "active") throw notFound("person");
  const { secret, hash } = newSecret();
  const expiresAt = new Date(nowMs + HANDED_LINK_MS);
  await tx.passwordReset.create({
    data: {
      practiceId: actor.practiceId,
      id: newId(),
      personId,
      tokenHash: hash,
      askedBy: actor.personId,
      expiresAt,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "password-link.handed-out",
    subjectType: "person",
    subjectId: personId,
    horseId: null,
    payload: null,
  });
  await tellOfChange(work, personId, `${actor.name} made a link to a new password for you`, mail);
  return { link: `/new-password/${secret}`, expiresAt: expiresAt.toISOString() };
};
