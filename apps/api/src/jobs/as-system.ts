import { randomUUID } from "node:crypto";
import { inPractice, whileSigningIn, type Database, type Transaction } from "../database/client.ts";
import { appendAudit, type AuditNote } from "../records/audit.ts";

/** What the service itself works with when nobody asked: one practice, one transaction. */
export interface SystemWork {
  readonly tx: Transaction;
  readonly practiceId: string;
  /** Epoch ms. */
  readonly nowMs: number;
  readonly audit: (note: AuditNote) => void;
  readonly announce: (topic: string) => void;
}

/** Runs the service's own work in one practice; its writes, audit entries and announcements stand or fall together. */
export const asSystem = <T>(
  db: Database,
  practiceId: string,
  nowMs: number,
  act: (work: SystemWork) => Promise<T>,
): Promise<T> =>
  inPractice(db, { practiceId, personId: null, roles: ["system"] }, async (tx) => {
    const notes: AuditNote[] = [];
    const topics = new Set<string>();
    const result = await act({
      tx,
      practiceId,
      nowMs,
      audit: (note) => void notes.push(note),
      announce: (topic) => void topics.add(topic),
    });
    await appendAudit(
      tx,
      {
        practiceId,
        actorId: null,
        actorRoles: ["system"],
        requestId: randomUUID(),
        clientTime: null,
        atMs: nowMs,
      },
      notes,
    );
    if (topics.size > 0)
      await tx.$executeRaw`SELECT pg_notify('heelward_changes', ${JSON.stringify({ practiceId, topics: [...topics] })})`;
    return result;
  });

/** Every practice of this installation. */
export const practiceIds = async (db: Database): Promise<readonly string[]> =>
  whileSigningIn(db, async (tx) =>
    (await tx.practice.findMany({ select: { id: true }, orderBy: { id: "asc" } })).map(
      (row) => row.id,
    ),
  );
