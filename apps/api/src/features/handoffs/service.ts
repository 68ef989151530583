import {
  role,
  type HandoffNote,
  type listHandoffNotes,
  type writeHandoffNote,
} from "@heelward/contracts";
import type { Role } from "@heelward/domain/access";
import {
  HANDOFF_HOURS,
  handoffState,
  requiredHandoffs,
  type HandoffDraft,
  type HandoffEvent,
} from "@heelward/domain/handoff";
import { MS_PER_HOUR } from "@heelward/domain/time";
import type { z } from "zod";
import { happenedAt } from "../../http/arrival.ts";
import { actingAs, hasRole } from "../../http/actor.ts";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { isoOrNull } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import { recordEvent } from "../cases/events.ts";
import { practiceToday } from "../people/practice.ts";
import { ownSettings } from "../settings/values.ts";
import * as store from "./store.ts";

type NoteQuery = z.output<NonNullable<typeof listHandoffNotes.query>>;
type NewNote = z.output<NonNullable<typeof writeHandoffNote.body>>;

const view = (row: store.NoteRow, nowMs: number): HandoffNote => {
  const toRole = role.parse(row.toRole);
  const standing = handoffState(
    {
      sentAtMs: row.writtenAt.getTime(),
      acknowledgeByMs: row.acknowledgeBy.getTime(),
      urgency: row.urgent ? "urgent" : "routine",
      toRole,
      ...(row.acknowledgedAt === null ? {} : { acknowledgedAtMs: row.acknowledgedAt.getTime() }),
    },
    nowMs,
  );
  return {
    ...row,
    fromRole: role.parse(row.fromRole),
    toRole,
    state: standing.state,
    writtenAt: row.writtenAt.toISOString(),
    happenedAt: isoOrNull(row.happenedAt),
    acknowledgeBy: row.acknowledgeBy.toISOString(),
    acknowledgedAt: isoOrNull(row.acknowledgedAt),
    escalatedAt: standing.state === "escalated" ? new Date(standing.dueAtMs).toISOString() : null,
  };
};

const read = async ({ tx, nowMs }: Work, id: string): Promise<HandoffNote> => {
  const [row] = await store.findNotes(tx, { id, limit: 1 });
  if (row === undefined) throw notFound("handoff note");
  return view(row, nowMs);
};

/** Notes to and from the caller's roles; the vet and the manager see all of their practice. */
export const list = async ({ tx, actor, nowMs }: Work, query: NoteQuery) => {
  const after = decodeCursor(query.cursor, 2);
  const found = await store.findNotes(tx, {
    caseId: query.caseId,
    isOpen: query.state === undefined ? undefined : query.state === "open",
    ...(hasRole(actor, "vet", "manager") ? {} : { roles: actor.roles }),
    after,
    limit: query.limit + 1,
  });
  const { rows, nextCursor } = toPage(found, query.limit, (row) => [
    row.writtenAt.toISOString(),
    row.id,
  ]);
  return { items: rows.map((row) => view(row, nowMs)), nextCursor };
};

/** Notes of one case, newest first. */
export const ofCase = async ({ tx, nowMs }: Work, caseId: string): Promise<HandoffNote[]> =>
  (await store.findNotes(tx, { caseId, limit: 100 })).map((row) => view(row, nowMs));

/** What a note is about and where it came from. */
export interface NoteSubject {
  readonly horseId: string;
  readonly caseId: string | null;
  /** Why it had to be written: a {@link HandoffEvent} kind, or `message`. */
  readonly cause: string;
  readonly refType?: string;
  readonly refId?: string;
}

const send = async (
  work: Work,
  subject: NoteSubject,
  draft: HandoffDraft,
  toPersonId?: string,
): Promise<string> => {
  const id = newId();
  await work.tx.handoffNote.create({
    data: {
      practiceId: work.actor.practiceId,
      id,
      horseId: subject.horseId,
      caseId: subject.caseId,
      cause: subject.cause,
      fromPerson: work.actor.personId,
      fromRole: draft.fromRole,
      toRole: draft.toRole,
      toPerson: toPersonId ?? null,
      urgent: draft.urgency === "urgent",
      situation: draft.situation,
      found: draft.found || null,
      done: draft.done || null,
      mustDo: draft.mustDo,
      byWhen: draft.byWhen || null,
      callMeIf: draft.callMeIf || null,
      writtenAt: new Date(work.nowMs),
      happenedAt: happenedAt(work),
      acknowledgeBy: new Date(draft.acknowledgeByMs),
      refType: subject.refType ?? null,
      refId: subject.refId ?? null,
      createdAt: new Date(work.nowMs),
    },
  });
  work.audit({
    event: "handoff.sent",
    subjectType: "handoff",
    subjectId: id,
    horseId: subject.horseId,
    payload: { cause: subject.cause, toRole: draft.toRole, urgency: draft.urgency },
  });
  await recordEvent(work, {
    horseId: subject.horseId,
    caseId: subject.caseId,
    kind: "note",
    title: `Note to the ${draft.toRole}`,
    detail: draft.situation,
    refType: "handoff",
    refId: id,
  });
  work.announce("queue");
  work.announce("handoffs");
  return id;
};

/** Hours to acknowledge a note, as the practice has set them for today. */
const ownHours = async (work: Work) => ownSettings(work, HANDOFF_HOURS, await practiceToday(work));

/**
 * Sends the notes an event makes necessary, in the same transaction as the event. `words` is what
 * the person added by hand; it takes the place of the drafted "what you must do".
 */
export const sendRequired = async (
  work: Work,
  subject: Omit<NoteSubject, "cause">,
  event: HandoffEvent,
  words?: string,
): Promise<void> => {
  const sender = actingAs(work.actor, ["vet", "farrier", "manager", "carer"]);
  for (const draft of requiredHandoffs(event, work.nowMs, await ownHours(work))) {
    // Nobody needs a note from themselves.
    if (draft.toRole === sender && draft.toRole !== "vet") continue;
    // One after the other: each takes its place in the audit chain.
    // oxlint-disable-next-line no-await-in-loop
    await send(
      work,
      { ...subject, cause: event.kind },
      {
        ...draft,
        fromRole: sender,
        ...(words === undefined ? {} : { mustDo: words.slice(0, 400) }),
      },
    );
  }
};

/** A note written by hand. */
export const write = async (work: Work, input: NewNote): Promise<HandoffNote> => {
  const horse = await work.tx.horse.findUnique({
    where: { practiceId_id: { practiceId: work.actor.practiceId, id: input.horseId } },
  });
  if (horse === null) throw badField("/horseId", "is not a horse you can see");
  if (
    input.toPersonId !== undefined &&
    (await work.tx.person.count({
      where: { id: input.toPersonId, status: "active", roles: { has: input.toRole } },
    })) !== 1
  )
    throw badField("/toPersonId", `is not an active person with the role ${input.toRole}`);
  const openCase = await work.tx.case.findFirst({
    where: { horseId: input.horseId, phase: { not: "closed" } },
  });
  const fromRole: Role = actingAs(work.actor, ["vet", "farrier", "manager", "carer"]);
  const hours = await ownHours(work);
  const id = await send(
    work,
    { horseId: input.horseId, caseId: openCase?.id ?? null, cause: "message" },
    {
      fromRole,
      toRole: input.toRole,
      urgency: input.urgent ? "urgent" : "routine",
      situation: input.situation,
      found: input.found ?? "",
      done: input.done ?? "",
      mustDo: input.mustDo,
      byWhen: input.byWhen ?? "",
      callMeIf: input.callMeIf ?? "",
      acknowledgeByMs: work.nowMs + hours[input.urgent ? "urgent" : "routine"].value * MS_PER_HOUR,
    },
    input.toPersonId,
  );
  return read(work, id);
};

/** One tap: read, and will act. Anyone holding the note's role may; the manager for any role once it is late. */
export const acknowledge = async (
  work: Work,
  id: string,
  seen: number,
  answer: string | undefined,
): Promise<HandoffNote> => {
  const { tx, actor, nowMs } = work;
  const before = await store.lockNote(tx, id);
  if (before === null) throw notFound("handoff note");
  assertVersion(seen, before.version);
  if (before.acknowledgedAt !== null)
    throw new Problem("conflict", "It was acknowledged already.", { recordId: id });
  const note = await read(work, id);
  const isMine =
    hasRole(actor, note.toRole) && (note.toPerson === null || note.toPerson.id === actor.personId);
  const mayStepIn = note.state === "escalated" && hasRole(actor, "manager", "vet");
  if (!isMine && !mayStepIn)
    throw new Problem(
      "forbidden",
      note.toPerson === null
        ? `This note is for the ${note.toRole}.`
        : `This note is for ${note.toPerson.name}.`,
      { requiredRoles: [note.toRole] },
    );
  await tx.handoffNote.updateMany({
    where: { id },
    data: {
      acknowledgedBy: actor.personId,
      acknowledgedAt: new Date(nowMs),
      answer: answer ?? null,
      version: seen + 1,
    },
  });
  work.audit({
    event: "handoff.acknowledged",
    subjectType: "handoff",
    subjectId: id,
    horseId: note.horse.id,
    payload: { answer: answer ?? null },
  });
  await recordEvent(work, {
    horseId: note.horse.id,
    caseId: note.caseId,
    kind: "note",
    title: `Note acknowledged by the ${note.toRole}`,
    detail: answer ?? null,
    refType: "handoff",
    refId: id,
  });
  work.announce("queue");
  work.announce("handoffs");
  return read(work, id);
};
