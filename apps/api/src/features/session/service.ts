import type { SessionView } from "@heelward/contracts";
import type { Dependencies } from "../../app.ts";
import { enterPractice, whileSigningIn, type Transaction } from "../../database/client.ts";
import { notFound, Problem } from "../../http/problem.ts";
import { newId } from "../../http/new-id.ts";
import type { Work } from "../../http/work.ts";
import { appendAudit } from "../../records/audit.ts";
import { sha256Hex } from "../../records/canonical.ts";
import { viewPerson } from "../people/view.ts";
import { isPassword } from "./password.ts";
import { lockAccount, lockSessionByToken, readPersonAndPractice } from "./store.ts";
import { newSecret, REFRESH_MS } from "./tokens.ts";

const FAILURES_BEFORE_LOCK = 8;
const LOCK_MS = 15 * 60_000;

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

const view = async (
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
  };
};

/** Opens a session. Unknown, removed, locked and mistyped are one answer that takes equally long. */
export const signIn = async (
  { db }: Dependencies,
  email: string,
  password: string,
  from: Origin,
): Promise<OpenSession> => {
  const opened = await whileSigningIn(db, async (tx): Promise<OpenSession | null> => {
    const account = await lockAccount(tx, email);
    const isLocked =
      account?.lockedUntil !== null &&
      account?.lockedUntil !== undefined &&
      account.lockedUntil.getTime() > from.nowMs;
    const usable = account !== null && account.status === "active" && !isLocked;
    const fits = await isPassword(usable ? account.passwordHash : null, password);
    if (account === null) return null;
    const scope = { practiceId: account.practiceId, personId: account.id, roles: ["system"] };
    await enterPractice(tx, scope);
    const stamp = {
      practiceId: account.practiceId,
      actorId: account.id,
      actorRoles: [],
      requestId: from.requestId,
      clientTime: null,
      atMs: from.nowMs,
    };
    if (!fits) {
      if (usable) {
        const failures = account.failedSignIns + 1;
        const isNowLocked = failures >= FAILURES_BEFORE_LOCK;
        await tx.person.updateMany({
          where: { id: account.id },
          data: {
            failedSignIns: isNowLocked ? 0 : failures,
            ...(isNowLocked ? { lockedUntil: new Date(from.nowMs + LOCK_MS) } : {}),
          },
        });
        await appendAudit(tx, stamp, [
          {
            event: isNowLocked ? "sign-in.locked" : "sign-in.failed",
            subjectType: "person",
            subjectId: account.id,
            horseId: null,
            payload: null,
          },
        ]);
      }
      return null;
    }
    await tx.person.updateMany({
      where: { id: account.id },
      data: { failedSignIns: 0, lockedUntil: null },
    });
    const sessionId = newId();
    const { secret, hash } = newSecret();
    const now = new Date(from.nowMs);
    const expiresAt = new Date(from.nowMs + REFRESH_MS);
    await tx.session.create({
      data: {
        practiceId: account.practiceId,
        id: sessionId,
        personId: account.id,
        tokenHash: hash,
        expiresAt,
        authenticatedAt: now,
        userAgent: from.userAgent,
        lastUsedAt: now,
        createdAt: now,
      },
    });
    await appendAudit(tx, stamp, [
      {
        event: "session.opened",
        subjectType: "session",
        subjectId: sessionId,
        horseId: null,
        payload: null,
      },
    ]);
    return {
      view: await view(tx, account.practiceId, account.id, now, expiresAt),
      claims: { practiceId: account.practiceId, personId: account.id, sessionId },
      refreshToken: secret,
    };
  });
  if (opened === null) throw wrong();
  return opened;
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
      await appendAudit(
        tx,
        {
          practiceId: session.practiceId,
          actorId: session.personId,
          actorRoles: [],
          requestId: from.requestId,
          clientTime: null,
          atMs: from.nowMs,
        },
        [
          {
            event: "session.token-reused",
            subjectType: "session",
            subjectId: session.id,
            horseId: null,
            payload: null,
          },
        ],
      );
      return null;
    }
    const { person } = await readPersonAndPractice(tx, session.practiceId, session.personId);
    if (person.status !== "active") return null;
    const { secret, hash } = newSecret();
    await tx.$executeRaw`
      UPDATE sessions SET token_hash = ${hash}, used_tokens = array_append(used_tokens, ${tokenHash}), last_used_at = ${new Date(from.nowMs)} WHERE id = ${session.id}::uuid`;
    return {
      view: await view(
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
  return view(tx, actor.practiceId, actor.personId, session.authenticatedAt, session.expiresAt);
};

/** Confirms the password and starts the minutes in which signing is allowed. */
export const confirm = async (work: Work, password: string): Promise<OpenSession> => {
  const { tx, actor, nowMs } = work;
  const person = await tx.person.findUniqueOrThrow({
    where: { practiceId_id: { practiceId: actor.practiceId, id: actor.personId } },
  });
  if (!(await isPassword(person.passwordHash, password))) throw wrong();
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
    view: await view(tx, actor.practiceId, actor.personId, now, session.expiresAt),
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
  work.audit({
    event: "session.ended",
    subjectType: "session",
    subjectId: sessionId,
    horseId: null,
    payload: null,
  });
  return null;
};
