import type { Transaction } from "../database/client.ts";
import { canonicalText, sha256Hex } from "./canonical.ts";

/** What happened, to what. `event` is `thing.past-tense`. */
export interface AuditNote {
  readonly event: string;
  readonly subjectType: string;
  readonly subjectId: string | null;
  readonly horseId: string | null;
  readonly payload: unknown;
}

/** Who did it, in which request. */
export interface AuditStamp {
  readonly practiceId: string;
  readonly actorId: string | null;
  readonly actorRoles: readonly string[];
  readonly requestId: string;
  readonly clientTime: string | null;
  readonly atMs: number;
}

const FIRST_HASH = "0".repeat(64);

/** Links an entry to the one before: hash of the previous hash and the entry's exact text. */
export const chainHash = (previousHash: string, entry: string): string =>
  sha256Hex(`${previousHash}\n${entry}`);

/**
 * Appends entries to the practice's chain inside the caller's transaction. The head row is locked,
 * so entries of one practice are strictly ordered; nobody else writes them.
 */
export const appendAudit = async (
  tx: Transaction,
  stamp: AuditStamp,
  notes: readonly AuditNote[],
): Promise<void> => {
  if (notes.length === 0) return;
  await tx.$executeRaw`
    INSERT INTO audit_heads (practice_id, sequence, hash) VALUES (${stamp.practiceId}::uuid, 0, ${FIRST_HASH})
    ON CONFLICT (practice_id) DO NOTHING`;
  const [head] = await tx.$queryRaw<{ sequence: bigint; hash: string }[]>`
    SELECT sequence, hash FROM audit_heads WHERE practice_id = ${stamp.practiceId}::uuid FOR UPDATE`;
  if (head === undefined) throw new Error("the audit head is missing");
  let { sequence, hash } = head;
  const rows = notes.map((note) => {
    sequence += 1n;
    const previousHash = hash;
    const at = new Date(stamp.atMs);
    const entry = canonicalText({
      actorId: stamp.actorId,
      actorRoles: stamp.actorRoles,
      at: at.toISOString(),
      clientTime: stamp.clientTime,
      event: note.event,
      horseId: note.horseId,
      payload: JSON.parse(JSON.stringify(note.payload ?? null)) as unknown,
      practiceId: stamp.practiceId,
      requestId: stamp.requestId,
      sequence: Number(sequence),
      subjectId: note.subjectId,
      subjectType: note.subjectType,
    });
    hash = chainHash(previousHash, entry);
    return {
      practiceId: stamp.practiceId,
      sequence,
      at,
      entry,
      previousHash,
      hash,
      event: note.event,
      actorId: stamp.actorId,
      horseId: note.horseId,
      subjectType: note.subjectType,
      subjectId: note.subjectId,
    };
  });
  await tx.auditEntry.createMany({ data: rows });
  await tx.$executeRaw`
    UPDATE audit_heads SET sequence = ${sequence}, hash = ${hash} WHERE practice_id = ${stamp.practiceId}::uuid`;
};

/** A place where the chain does not hold. */
export interface ChainFault {
  readonly sequence: number | null;
  readonly what: string;
}

/** Walks a whole chain, oldest first; finds altered, missing and re-ordered entries. */
export const findChainFaults = (
  entries: readonly {
    readonly sequence: bigint;
    readonly entry: string;
    readonly previousHash: string;
    readonly hash: string;
  }[],
  head: { readonly sequence: bigint; readonly hash: string } | undefined,
): ChainFault[] => {
  const faults: ChainFault[] = [];
  let expected = 1n;
  let previous = FIRST_HASH;
  for (const one of entries) {
    const sequence = Number(one.sequence);
    if (one.sequence !== expected) faults.push({ sequence, what: `entry ${expected} is missing` });
    if (one.previousHash !== previous)
      faults.push({ sequence, what: "does not follow from the entry before" });
    if (chainHash(one.previousHash, one.entry) !== one.hash)
      faults.push({ sequence, what: "was altered" });
    previous = one.hash;
    expected = one.sequence + 1n;
  }
  const last = entries.at(-1);
  if (
    (head?.sequence ?? 0n) !== (last?.sequence ?? 0n) ||
    (head?.hash ?? FIRST_HASH) !== (last?.hash ?? FIRST_HASH)
  )
    faults.push({ sequence: null, what: "the last entries are missing" });
  return faults;
};
