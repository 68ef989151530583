import type { SecondFactor, SessionView } from "@heelward/contracts";
import type { Dependencies } from "../../app.ts";
import { enterPractice, whileSigningIn, type Transaction } from "../../database/client.ts";
import { notFound, Problem } from "../../http/problem.ts";
import { newId } from "../../http/new-id.ts";
import type { Work } from "../../http/work.ts";
import { sealerOf } from "../../http/sealed-answer.ts";
import { appendAudit, type AuditStamp } from "../../records/audit.ts";
import { sha256Hex } from "../../records/canonical.ts";
import { viewPerson } from "../people/view.ts";
import { countFailure, forgetFailures, isLocked } from "./attempts.ts";
import { findFactors, inForce } from "./factor-store.ts";
import type { Site } from "./passkeys.ts";
import { isPassword } from "./password.ts";
import { askForFactor, checkFactor, type Asked, type OpenedWith } from "./second-factor.ts";
import { lockAccount, lockSessionByToken, readPersonAndPractice } from "./store.ts";
import { newSecret, REFRESH_MS } from "./tokens.ts";

/** Where a request comes from, for the audit entry and the list of sessions. */
export interface Origin {
  readonly nowMs: number;
  readonly requestId: string;
  readonly userAgent: string | null;
}

/** A session just opened or renewed, with the refresh token that is shown once. */
export interface OpenSession {
  readonly view: SessionView;
  readonly claims: {
    readonly practiceId: string;
    readonly personId: string;
    readonly sessionId: string;
  };
  readonly refreshToken: string;
}

const wrong = () =>
  new Problem(
    "wrong-credentials",
    "E-mail or password do not fit, or the account is locked for a while.",
  );

/** A session as its person sees it. */
export const viewSession = async (
  tx: Transaction,
  practiceId: string,
  personId: string,
  authenticatedAt: Date,
  expiresAt: Date,
): Promise<SessionView> => {
  const { person, practice } = await readPersonAndPractice(tx, practiceId, personId);
  return {
    person: viewPerson(person),
    practice: {
      id: practice.id,
      name: practice.name,
      town: practice.town,
      phone: practice.phone,
      timeZone: practice.timeZone,
      jurisdiction: practice.jurisdiction as "UK" | "EU" | "US",
    },
    authenticatedAt: authenticatedAt.toISOString(),
    expiresAt: expiresAt.toISOString(),
    mustEnrol:
      practice.secondFactorRequired &&
      person.roles.some((role) => role === "vet" || role === "manager") &&
      inForce(await findFactors(tx, personId)).length === 0,
  };
};

const stampOf = (practiceId: string, personId: string, from: Origin): AuditStamp => ({
  practiceId,
  actorId: personId,
  actorRoles: [],
  requestId: from.requestId,
  clientTime: null,
  atMs: from.nowMs,
});

interface SignIn {
  readonly email: string;
  readonly password: string;
  readonly secondFactor?: SecondFactor | undefined;
}

type Attempt =
  | { readonly is: "open"; readonly session: OpenSession }
  | { readonly is: "refused" }
  | { readonly is: "asked"; readonly problem: Problem };

const askBack = async (
  tx: Transaction,
  asked: Omit<Asked, "sealer">,
): Promise<Problem | undefined> => {
  const { ways, passkeyOptions } = await askForFactor(tx, asked, "sign-in");
  if (ways.length === 0) return undefined;
  return new Problem("second-factor-required", "The password fits. Now show your second factor.", {
    ways,
    passkeyOptions,
  });
};

const open = async (
  tx: Transaction,
  { practiceId, personId }: { readonly practiceId: string; readonly personId: string },
  openedWith: OpenedWith | "password",
  from: Origin,
): Promise<OpenSession> => {
  const sessionId = newId();
  const { secret, hash } = newSecret();
  const now = new Date(from.nowMs);
  const expiresAt = new Date(from.nowMs + REFRESH_MS);
  await tx.session.create({
    data: {
      practiceId,
      id: sessionId,
      personId,
      tokenHash: hash,
      expiresAt,
      authenticatedAt: now,
      userAgent: from.userAgent,
      openedWith,
      lastUsedAt: now,
      createdAt: now,
    },
  });
  await appendAudit(tx, stampOf(practiceId, personId, from), [
    {
      event: "session.opened",
      subjectType: "session",
      subjectId: sessionId,
      horseId: null,
      payload: { openedWith },
    },
  ]);
  return {
    view: await viewSession(tx, practiceId, personId, now, expiresAt),
    claims: { practiceId, personId, sessionId },
    refreshToken: secret,
  };
};

/**
 * Opens a session. Unknown, removed, locked and mistyped are one answer that takes equally long. An
 * account with a second factor is told so only once its password fits; a wrong code counts like a
 * wrong password, and only a whole sign-in forgets the wrong ones.
 */
export const signIn = async (
  dependencies: Dependencies,
  { email, password, secondFactor }: SignIn,
  site: Site,
  from: Origin,
): Promise<OpenSession> => {
  const attempt = await whileSigningIn(dependencies.db, async (tx): Promise<Attempt> => {
    const account = await lockAccount(tx, email);
    const usable =
      account !== null && account.status === "active" && !isLocked(account, from.nowMs);
    const fits = await isPassword(usable ? account.passwordHash : null, password);
    if (account === null) return { is: "refused" };
    const { practiceId, id: personId } = account;
    await enterPractice(tx, { practiceId, personId, roles: ["system"] });
    const asked = { practiceId, personId, nowMs: from.nowMs, site };
    if (fits && secondFactor === undefined) {
      const problem = await askBack(tx, asked);
      if (problem !== undefined) return { is: "asked", problem };
    }
    const openedWith =
      !fits || secondFactor === undefined
        ? "password"
        : await checkFactor(
            tx,
            { ...asked, sealer: sealerOf(dependencies) },
            secondFactor,
            "sign-in",
          );
    if (!fits || openedWith === null) {
      if (usable) await countFailure(tx, personId, stampOf(practiceId, personId, from));
      return { is: "refused" };
    }
    await forgetFailures(tx, personId);
    return { is: "open", session: await open(tx, asked, openedWith, from) };
  });
  if (attempt.is === "asked") throw attempt.problem;
  if (attempt.is === "refused") throw wrong();
  return attempt.session;
};

/** Renews a session. A token that was used before means it was copied: the whole session ends. */
export const refresh = async (
  { db }: Dependencies,
  refreshToken: string,
  from: Origin,
): Promise<OpenSession> => {
  const tokenHash = sha256Hex(refreshToken);
  const renewed = await whileSigningIn(db, async (tx): Promise<OpenSession | null> => {
    const session = await lockSessionByToken(tx, tokenHash);
    if (session === null || session.revokedAt !== null || session.expiresAt.getTime() <= from.nowMs)
      return null;
    await enterPractice(tx, {
      practiceId: session.practiceId,
      personId: session.personId,
      roles: ["system"],
    });
    if (session.tokenHash !== tokenHash) {
      await tx.session.updateMany({
        where: { id: session.id },
        data: { revokedAt: new Date(from.nowMs) },
      });
      await appendAudit(tx, stampOf(session.practiceId, session.personId, from), [
        {
          event: "session.token-reused",
          subjectType: "session",
          subjectId: session.id,
          horseId: null,
          payload: null,
        },
      ]);
      return null;
    }
    const { person } = await readPersonAndPractice(tx, session.practiceId, session.personId);
    if (person.status !== "active") return null;
    const { secret, hash } = newSecret();
    await tx.$executeRaw`
      UPDATE sessions SET token_hash = ${hash}, used_tokens = array_append(used_tokens, ${tokenHash}), last_used_at = ${new Date(from.nowMs)} WHERE id = ${session.id}::uuid`;
    return {
      view: await viewSession(
        tx,
        session.practiceId,
        session.personId,
        session.authenticatedAt,
        session.expiresAt,
      ),
      claims: { practiceId: session.practiceId, personId: session.personId, sessionId: session.id },
      refreshToken: secret,
    };
  });
  if (renewed === null)
    throw new Problem("unauthenticated", "The session has ended; sign in again.");
  return renewed;
};

/** Who is signed in. */
export const read = async ({ tx, actor }: Work): Promise<SessionView> => {
  const session = await tx.session.findUniqueOrThrow({
    where: { practiceId_id: { practiceId: actor.practiceId, id: actor.sessionId } },
  });
  return viewSession(
    tx,
    actor.practiceId,
    actor.personId,
    session.authenticatedAt,
    session.expiresAt,
  );
};

/** Starts the minutes in which signing is allowed, once it is sure that the caller is who they are. */
export const confirm = async (work: Work): Promise<OpenSession> => {
  const { tx, actor, nowMs } = work;
  const { secret, hash } = newSecret();
  const now = new Date(nowMs);
  const session = await tx.session.update({
    where: { practiceId_id: { practiceId: actor.practiceId, id: actor.sessionId } },
    data: { authenticatedAt: now, tokenHash: hash, lastUsedAt: now },
  });
  work.audit({
    event: "session.confirmed",
    subjectType: "session",
    subjectId: session.id,
    horseId: null,
    payload: null,
  });
  return {
    view: await viewSession(tx, actor.practiceId, actor.personId, now, session.expiresAt),
    claims: { practiceId: actor.practiceId, personId: actor.personId, sessionId: actor.sessionId },
    refreshToken: secret,
  };
};

export const listOwn = async ({ tx, actor, nowMs }: Work) => {
  const rows = await tx.session.findMany({
    where: { personId: actor.personId, revokedAt: null, expiresAt: { gt: new Date(nowMs) } },
    orderBy: { lastUsedAt: "desc" },
  });
  return {
    items: rows.map((row) => ({
      id: row.id,
      userAgent: row.userAgent,
      createdAt: row.createdAt.toISOString(),
      lastUsedAt: row.lastUsedAt.toISOString(),
      isThisOne: row.id === actor.sessionId,
    })),
  };
};

/** Ends one of the caller's own sessions. */
export const revoke = async (work: Work, sessionId: string): Promise<null> => {
  const { count } = await work.tx.session.updateMany({
    where: { id: sessionId, personId: work.actor.personId, revokedAt: null },
    data: { revokedAt: new Date(work.nowMs) },
  });
  if (count === 0) throw notFound("session");
  work.announce("session");
  work.audit({
    event: "session.ended",
    subjectType: "session",
    subjectId: sessionId,
    horseId: null,
    payload: null,
  });
  return null;
};
