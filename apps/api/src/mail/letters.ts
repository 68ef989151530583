import { DateTime } from "luxon";
import type { Transaction } from "../database/client.ts";
import type { LetterKind, MailRoom, OutboxLetters } from "./outbox.ts";

/** What a letter says, or why it must not go out any more. */
export type Written =
  | { readonly subject: string; readonly text: string }
  | { readonly drop: string };

interface Writing {
  readonly tx: Transaction;
  readonly practiceId: string;
  readonly room: MailRoom;
  readonly nowMs: number;
  /** The secret of the letter's link, if it has one. */
  readonly secret: string | null;
}

const day = (at: Date, zone: string): string =>
  DateTime.fromJSDate(at, { zone }).setLocale("en-GB").toFormat("cccc d LLLL, HH:mm");

const practiceOf = (tx: Transaction) => tx.practice.findFirstOrThrow({});

const sign = (practice: { readonly name: string; readonly phone: string | null }): string =>
  `${practice.name}${practice.phone === null ? "" : `, ${practice.phone}`}\n\nDo not reply to this mail. In an emergency ring your vet.`;

const writeInvitation = async (
  { tx, room, nowMs, secret }: Writing,
  payload: OutboxLetters["invitation"],
): Promise<Written> => {
  const invitation = await tx.invitation.findFirst({ where: { id: payload.invitationId } });
  if (invitation === null || secret === null) return { drop: "the invitation is gone" };
  if (invitation.acceptedAt !== null) return { drop: "accepted already" };
  if (invitation.withdrawnAt !== null) return { drop: "withdrawn" };
  if (invitation.expiresAt.getTime() <= nowMs) return { drop: "run out" };
  const practice = await practiceOf(tx);
  return {
    subject: `Your access to ${practice.name}`,
    text: `${practice.name} invites you to its shared case file.\n\nChoose a password here; the link works once and for seven days:\n${room.publicUrl}/invitation/${secret}\n\n${sign(practice)}`,
  };
};

const writeReminder = async (
  { tx, room, nowMs, secret }: Writing,
  payload: OutboxLetters["reset reminder"],
): Promise<Written> => {
  const reminder = await tx.reminder.findFirst({ where: { id: payload.reminderId } });
  if (reminder === null || secret === null) return { drop: "the reminder is gone" };
  if (reminder.answeredAt !== null) return { drop: "answered already" };
  if (reminder.expiresAt.getTime() <= nowMs) return { drop: "too late" };
  const reset = await tx.reset.findFirst({ where: { id: reminder.resetId } });
  const horse = await tx.horse.findFirst({ where: { id: reminder.horseId } });
  if (reset === null || horse === null) return { drop: "the reset is gone" };
  if (reset.status !== "open" && reset.status !== "booked") return { drop: "the reset is closed" };
  if (reset.pausedReason !== null || horse.status !== "active") return { drop: "paused" };
  if (
    (await tx.case.count({ where: { horseId: horse.id } })) > 0 &&
    (await tx.case.count({ where: { horseId: horse.id, phase: { not: "closed" } } })) === 0
  )
    return { drop: "the case is closed" };
  if (reset.bookedFor?.getTime() !== reminder.askedFor?.getTime())
    return { drop: "the date was moved" };
  const practice = await practiceOf(tx);
  const yard = await tx.yard.findFirstOrThrow({ where: { id: horse.yardId } });
  const asks =
    reset.bookedFor === null
      ? `${horse.name}'s feet are due. May we book a visit at ${yard.name}?`
      : `The farrier comes to ${horse.name} at ${yard.name} on ${day(reset.bookedFor, yard.timeZone)}. Does that suit?`;
  return {
    subject: `${horse.name}: the farrier's visit`,
    text: `${asks}\n\nAnswer Yes, No or Call me here; the link works once:\n${room.publicUrl}/reminder/${secret}\n\n${sign(practice)}`,
  };
};

const writeLateNote = async (
  { tx, room }: Writing,
  payload: OutboxLetters["late note"],
): Promise<Written> => {
  const note = await tx.handoffNote.findFirst({ where: { id: payload.noteId } });
  if (note === null || note.acknowledgedAt !== null) return { drop: "acknowledged meanwhile" };
  const practice = await practiceOf(tx);
  return {
    subject: `A note waits for the ${note.toRole}`,
    text: `A handoff note to the ${note.toRole} is past its time and nobody has acknowledged it.\n\n${room.publicUrl}/\n\n${sign(practice)}`,
  };
};

const writeLateReset = async (
  { tx, room }: Writing,
  payload: OutboxLetters["late reset"],
): Promise<Written> => {
  const reset = await tx.reset.findFirst({ where: { id: payload.resetId } });
  if (reset === null || (reset.status !== "open" && reset.status !== "booked"))
    return { drop: "done meanwhile" };
  const practice = await practiceOf(tx);
  return {
    subject: "A reset has turned red",
    text: `One horse's reset is red on the board: it is long overdue, past its limit, or pain is up.\n\n${room.publicUrl}/resets\n\n${sign(practice)}`,
  };
};

const writeNewPassword = async (
  { tx, room, nowMs, secret }: Writing,
  payload: OutboxLetters["new password"],
): Promise<Written> => {
  const link = await tx.passwordReset.findFirst({ where: { id: payload.resetId } });
  if (link === null || secret === null) return { drop: "the link is gone" };
  if (link.usedAt !== null) return { drop: "used already" };
  if (link.expiresAt.getTime() <= nowMs) return { drop: "run out" };
  return {
    subject: "Choose a new password",
    text: `Somebody asked for a new password for your account. If that was you, choose one here; the link works once and for an hour:\n${room.publicUrl}/new-password/${secret}\n\nIf it was not you, do nothing: your password stays as it is.\n\n${sign(await practiceOf(tx))}`,
  };
};

const writeSignInChanged = async (
  { tx, room }: Writing,
  payload: OutboxLetters["sign-in changed"],
): Promise<Written> => {
  const person = await tx.person.findFirst({ where: { id: payload.personId } });
  if (person === null || person.status !== "active") return { drop: "the person has left" };
  return {
    subject: "Your way of signing in has changed",
    text: `This is to tell you: ${payload.what}.\n\nIf you did not expect that, ring your practice, and end the sessions you do not know:\n${room.publicUrl}/devices\n\n${sign(await practiceOf(tx))}`,
  };
};

const writeVisitMoved = async (
  { tx }: Writing,
  payload: OutboxLetters["visit moved"],
): Promise<Written> => {
  const event = await tx.caseEvent.findFirst({ where: { id: payload.caseEventId } });
  const horse = event === null ? null : await tx.horse.findFirst({ where: { id: event.horseId } });
  if (event === null || horse === null || event.forOwner === null)
    return { drop: "there is nothing to tell" };
  return {
    subject: `${horse.name}: the farrier is running late`,
    text: `${event.forOwner}\n\n${sign(await practiceOf(tx))}`,
  };
};

const WRITERS: {
  readonly [K in LetterKind]: (writing: Writing, payload: OutboxLetters[K]) => Promise<Written>;
} = {
  invitation: writeInvitation,
  "reset reminder": writeReminder,
  "late note": writeLateNote,
  "late reset": writeLateReset,
  "new password": writeNewPassword,
  "sign-in changed": writeSignInChanged,
  "visit moved": writeVisitMoved,
};

const isKind = (kind: string): kind is LetterKind => kind in WRITERS;

/** Writes a letter from the facts as they are now: what is over by the time it would go out is dropped. */
export const writeLetter = (
  kind: string,
  payload: { readonly to: string },
  writing: Writing,
): Promise<Written> =>
  isKind(kind)
    ? (WRITERS[kind] as (writing: Writing, payload: object) => Promise<Written>)(writing, payload)
    : Promise.resolve({ drop: `no letter of the kind ${kind}` });
