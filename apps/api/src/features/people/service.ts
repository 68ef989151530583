import { role, type changePerson, type invitePerson, type Person } from "@heelward/contracts";
import type { Role } from "@heelward/domain/access";
import { z } from "zod";
import type { Dependencies } from "../../app.ts";
import { enterPractice, whileSigningIn } from "../../database/client.ts";
import { isoOrNull } from "../../http/dates.ts";
import { defined } from "../../http/defined.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { queueLetter, type MailRoom } from "../../mail/outbox.ts";
import { appendAudit } from "../../records/audit.ts";
import { sha256Hex } from "../../records/canonical.ts";
import { hashPassword } from "../session/password.ts";
import { newSecret } from "../session/tokens.ts";
import { changeOf } from "../../records/change-of.ts";
import * as store from "./store.ts";
import { viewPerson } from "./view.ts";

const INVITATION_MS = 7 * 24 * 3_600_000;
type PersonChange = z.output<NonNullable<typeof changePerson.body>>;
type NewInvitation = z.output<NonNullable<typeof invitePerson.body>>;

export const list = async ({ tx }: Work, filter: { readonly role?: Role | undefined }) => {
  const rows = await tx.person.findMany({
    where: filter.role === undefined ? {} : { roles: { has: filter.role }, status: "active" },
    orderBy: [{ name: "asc" }, { id: "asc" }],
    take: 1000,
  });
  return { items: rows.map(viewPerson) };
};

export const read = async ({ tx, actor }: Work, id: string): Promise<Person> => {
  const row = await tx.person.findUnique({
    where: { practiceId_id: { practiceId: actor.practiceId, id } },
  });
  if (row === null) throw notFound("person");
  return viewPerson(row);
};

/** Changes roles, contact or standing. The last practice manager cannot be removed. */
export const change = async (
  work: Work,
  id: string,
  seen: number,
  input: PersonChange,
): Promise<Person> => {
  const { tx } = work;
  const version = await store.lockPerson(tx, id);
  if (version === null) throw notFound("person");
  assertVersion(seen, version);
  const before = await read(work, id);
  const stopsManaging =
    (input.roles !== undefined && !input.roles.includes("manager")) || input.status === "removed";
  if (stopsManaging) {
    const others = await tx.person.count({
      where: { id: { not: id }, roles: { has: "manager" }, status: "active" },
    });
    if (others === 0)
      throw new Problem("conflict", "A practice keeps at least one active practice manager.");
  }
  const data = defined(input);
  await tx.person.updateMany({ where: { id }, data: { ...data, version: seen + 1 } });
  if (input.status === "removed")
    await tx.session.updateMany({
      where: { personId: id, revokedAt: null },
      data: { revokedAt: new Date(work.nowMs) },
    });
  work.audit({
    event: "person.changed",
    subjectType: "person",
    subjectId: id,
    horseId: null,
    payload: changeOf(before, input),
  });
  return read(work, id);
};

const roles = z.array(role);
const viewInvitation = (row: store.InvitationRow) => ({
  id: row.id,
  email: row.email,
  name: row.name,
  roles: roles.parse(row.roles),
  invitedBy: row.invitedBy,
  version: row.version,
  expiresAt: row.expiresAt.toISOString(),
  acceptedAt: isoOrNull(row.acceptedAt),
  withdrawnAt: isoOrNull(row.withdrawnAt),
});

export const listInvitations = async ({ tx }: Work) => ({
  items: (await store.findInvitations(tx)).map(viewInvitation),
});

/**
 * Invites a person. The link is answered once; only its hash is kept, and a sealed copy until the
 * letter has gone out.
 */
export const invite = async (work: Work, input: NewInvitation, mail?: MailRoom) => {
  const { tx, actor, nowMs } = work;
  if ((await tx.person.count({ where: { email: input.email } })) > 0)
    throw badField("/email", "belongs to a person of this practice already");
  if (
    (await tx.yard.count({ where: { id: { in: input.yardIds } } })) !== new Set(input.yardIds).size
  )
    throw badField("/yardIds", "must name yards of this practice");
  if (
    (await tx.horse.count({ where: { id: { in: input.horseIds } } })) !==
    new Set(input.horseIds).size
  )
    throw badField("/horseIds", "must name horses of this practice");
  const id = newId();
  const { secret, hash } = newSecret();
  await tx.invitation.create({
    data: {
      practiceId: actor.practiceId,
      id,
      email: input.email,
      name: input.name,
      roles: input.roles,
      registrationNumber: input.registrationNumber ?? null,
      yardIds: input.yardIds,
      horseIds: input.horseIds,
      tokenHash: hash,
      expiresAt: new Date(nowMs + INVITATION_MS),
      invitedBy: actor.personId,
    },
  });
  if (mail !== undefined) {
    await queueLetter(
      tx,
      actor.practiceId,
      nowMs,
      "invitation",
      { invitationId: id, to: input.email },
      { sealer: mail.sealer, secret },
    );
    work.announce("outbox");
  }
  work.audit({
    event: "invitation.sent",
    subjectType: "invitation",
    subjectId: id,
    horseId: null,
    payload: { roles: input.roles },
  });
  const row = await store.findInvitation(tx, id);
  if (row === null) throw new Error("the invitation just written is not there");
  return { ...viewInvitation(row), link: `/invitation/${secret}` };
};

export const withdraw = async (work: Work, id: string, seen: number): Promise<null> => {
  const { tx, nowMs } = work;
  const row = await store.findInvitation(tx, id);
  if (row === null) throw notFound("invitation");
  assertVersion(seen, row.version);
  if (row.acceptedAt !== null)
    throw new Problem("conflict", "It was accepted already; change the person instead.");
  await tx.invitation.updateMany({
    where: { id, version: seen },
    data: { withdrawnAt: new Date(nowMs), version: seen + 1 },
  });
  work.audit({
    event: "invitation.withdrawn",
    subjectType: "invitation",
    subjectId: id,
    horseId: null,
    payload: null,
  });
  return null;
};

/** Accepts an invitation: makes the person, links yards and horses. Works once. */
export const accept = async (
  { db }: Dependencies,
  token: string,
  password: string,
  from: { readonly nowMs: number; readonly requestId: string },
): Promise<Person> => {
  const passwordHash = await hashPassword(password);
  return whileSigningIn(db, async (tx) => {
    const found = await store.lockInvitation(tx, sha256Hex(token));
    const gone = new Problem(
      "not-found",
      "This invitation was used, withdrawn or has run out. Ask for a new one.",
    );
    if (found === null) throw gone;
    const { practiceId } = found;
    await enterPractice(tx, { practiceId, personId: null, roles: ["system"] });
    const invitation = await tx.invitation.findUniqueOrThrow({
      where: { practiceId_id: { practiceId, id: found.id } },
    });
    if (
      invitation.acceptedAt !== null ||
      invitation.withdrawnAt !== null ||
      invitation.expiresAt.getTime() <= from.nowMs
    )
      throw gone;
    const id = newId();
    const person = await tx.person.create({
      data: {
        practiceId,
        id,
        name: invitation.name,
        email: invitation.email,
        roles: invitation.roles,
        registrationNumber: invitation.registrationNumber,
        passwordHash,
        status: "active",
      },
    });
    await tx.yardPerson.createMany({
      data: invitation.yardIds.map((yardId) => ({ practiceId, yardId, personId: id })),
    });
    await tx.horsePerson.createMany({
      data: invitation.horseIds.map((horseId) => ({ practiceId, horseId, personId: id })),
    });
    await tx.invitation.updateMany({
      where: { id: invitation.id },
      data: { acceptedAt: new Date(from.nowMs), version: invitation.version + 1 },
    });
    await appendAudit(
      tx,
      {
        practiceId,
        actorId: id,
        actorRoles: person.roles,
        requestId: from.requestId,
        clientTime: null,
        atMs: from.nowMs,
      },
      [
        {
          event: "invitation.accepted",
          subjectType: "person",
          subjectId: id,
          horseId: null,
          payload: { invitationId: invitation.id },
        },
      ],
    );
    return viewPerson(person);
  });
};
