import { handoffState } from "@heelward/domain/handoff";
import { role } from "@heelward/contracts";
import { newId } from "../http/new-id.ts";
import { queueLetter } from "../mail/outbox.ts";
import { standingOf } from "../features/resets/standing.ts";
import { findResets } from "../features/resets/read-model.ts";
import type { SystemWork } from "./as-system.ts";

const MOST = 1000;

const line = async (
  { tx, practiceId, nowMs }: SystemWork,
  event: {
    readonly horseId: string;
    readonly caseId: string | null;
    readonly kind: string;
    readonly title: string;
    readonly detail: string;
    readonly refType: string;
    readonly refId: string;
  },
): Promise<void> => {
  await tx.caseEvent.create({
    data: {
      practiceId,
      id: newId(),
      ...event,
      at: new Date(nowMs),
      personId: null,
      createdAt: new Date(nowMs),
    },
  });
};

const writeToManagers = async (
  work: SystemWork,
  letter: { readonly noteId: string } | { readonly resetId: string },
): Promise<void> => {
  const { tx, practiceId, nowMs } = work;
  const managers = await tx.person.findMany({
    // Named although the row policy says it: the policy lets those who sign in see all, so that of
    // itself it finds nobody by an index.
    where: { practiceId, status: "active", roles: { has: "manager" } },
  });
  for (const manager of managers)
    // A practice has one or two.
    // oxlint-disable-next-line no-await-in-loop
    await ("noteId" in letter
      ? queueLetter(tx, practiceId, nowMs, "late note", { ...letter, to: manager.email })
      : queueLetter(tx, practiceId, nowMs, "late reset", { ...letter, to: manager.email }));
  if (managers.length > 0) work.announce("outbox");
};

/** Notes that nobody acknowledged in time climb to the practice manager, once. */
const escalateNotes = async (work: SystemWork): Promise<number> => {
  const { tx, nowMs } = work;
  const late = await tx.$queryRaw<
    {
      id: string;
      horseId: string;
      caseId: string | null;
      toRole: string;
      urgent: boolean;
      writtenAt: Date;
      acknowledgeBy: Date;
    }[]
  >`
    SELECT id, horse_id AS "horseId", case_id AS "caseId", to_role AS "toRole", urgent, written_at AS "writtenAt", acknowledge_by AS "acknowledgeBy" FROM handoff_notes
    WHERE acknowledged_at IS NULL AND escalated_at IS NULL AND acknowledge_by <= ${new Date(nowMs)}
    ORDER BY acknowledge_by, id LIMIT ${MOST} FOR UPDATE SKIP LOCKED`;
  let count = 0;
  for (const note of late) {
    const { state } = handoffState(
      {
        sentAtMs: note.writtenAt.getTime(),
        acknowledgeByMs: note.acknowledgeBy.getTime(),
        urgency: note.urgent ? "urgent" : "routine",
        toRole: role.parse(note.toRole),
      },
      nowMs,
    );
    if (state !== "escalated") continue;
    count += 1;
    // One after the other: each takes its place in the audit chain.
    // oxlint-disable-next-line no-await-in-loop
    await tx.handoffNote.updateMany({
      where: { id: note.id, acknowledgedAt: null },
      data: { escalatedAt: new Date(nowMs) },
    });
    // oxlint-disable-next-line no-await-in-loop
    await line(work, {
      horseId: note.horseId,
      caseId: note.caseId,
      kind: "note",
      title: "Note climbed to the practice manager",
      detail: `Nobody acknowledged the note to the ${note.toRole} in time.`,
      refType: "handoff",
      refId: note.id,
    });
    work.audit({
      event: "handoff.escalated",
      subjectType: "handoff",
      subjectId: note.id,
      horseId: note.horseId,
      payload: null,
    });
    // oxlint-disable-next-line no-await-in-loop
    await writeToManagers(work, { noteId: note.id });
  }
  if (count > 0) work.announce("handoffs");
  return count;
};

/** A reset that turns red is told to the practice manager once; when it is no longer red it may be told again. */
const escalateResets = async (work: SystemWork): Promise<number> => {
  const { tx, nowMs } = work;
  const rows = await findResets(work, { isOpen: true, limit: MOST });
  const told = new Set(
    (
      await tx.reset.findMany({
        where: { status: { in: ["open", "booked"] }, escalatedAt: { not: null } },
        select: { id: true },
      })
    ).map((row) => row.id),
  );
  let count = 0;
  for (const row of rows) {
    const { state, reasons } = standingOf(row, nowMs);
    if ((state === "red") === told.has(row.id)) continue;
    // The row decides who tells: of two processes one finds it told already.
    // oxlint-disable-next-line no-await-in-loop
    const changed = await tx.reset.updateMany({
      where: { id: row.id, escalatedAt: state === "red" ? null : { not: null } },
      data: { escalatedAt: state === "red" ? new Date(nowMs) : null },
    });
    if (state !== "red" || changed.count === 0) continue;
    count += 1;
    // oxlint-disable-next-line no-await-in-loop
    await line(work, {
      horseId: row.horse.id,
      caseId: row.caseId,
      kind: "reset",
      title: "Reset turned red",
      detail: reasons.join("; "),
      refType: "reset",
      refId: row.id,
    });
    work.audit({
      event: "reset.escalated",
      subjectType: "reset",
      subjectId: row.id,
      horseId: row.horse.id,
      payload: { reasons },
    });
    // oxlint-disable-next-line no-await-in-loop
    await writeToManagers(work, { resetId: row.id });
  }
  if (count > 0) work.announce("resets");
  return count;
};

/** What is late climbs. Safe to run at any time and twice: each thing climbs once. */
export const escalate = async (
  work: SystemWork,
): Promise<{ readonly notes: number; readonly resets: number }> => {
  const notes = await escalateNotes(work);
  const resets = await escalateResets(work);
  if (notes + resets > 0) work.announce("queue");
  return { notes, resets };
};
