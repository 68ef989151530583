import type { Transaction } from "../database/client.ts";
import { canonicalText, sha256Hex } from "./canonical.ts";
import { hashTouchedRows, type TouchedRow } from "./sealed-rows.ts";

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
const chainHash = (previousHash: string, entry: string): string =>
  sha256Hex(`${previousHash}\n${entry}`);

/**
 * Which entry tells of which touched rows: the last one about the row's horse, so that the entries of
 * a horse prove its record without those of others. A horse nobody wrote a note about gets one.
 */
const sharedOut = (
  notes: readonly AuditNote[],
  rows: readonly TouchedRow[],
): readonly { readonly note: AuditNote; readonly rows: readonly TouchedRow[] }[] => {
  const horses = new Set(rows.flatMap((row) => row.horseId ?? []));
  const unspoken = [...horses].filter((id) => notes.every((note) => note.horseId !== id));
  const all = [
    ...notes,
    ...unspoken.map((id): AuditNote => ({
      event: "record.changed",
      subjectType: "horse",
      subjectId: id,
      horseId: id,
      payload: null,
    })),
  ];
  const placeOf = ({ horseId }: TouchedRow): number =>
    horseId === null ? notes.length - 1 : all.findLastIndex((note) => note.horseId === horseId);
  return all.map((note, place) => ({ note, rows: rows.filter((row) => placeOf(row) === place) }));
};

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
  const [head] = await tx.$queryRaw<{ sequence: bigint; hash: string; touched: string | null }[]>`
    SELECT sequence, hash, current_setting('app.touched', true) AS touched FROM audit_heads
    WHERE practice_id = ${stamp.practiceId}::uuid FOR UPDATE`;
  if (head === undefined) throw new Error("the audit head is missing");
  const told = sharedOut(notes, await hashTouchedRows(tx, head.touched ?? ""));
  let { sequence, hash } = head;
  const rows = told.map(({ note, rows: sealed }) => {
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
      ...(sealed.length === 0
        ? {}
        : { rows: Object.fromEntries(sealed.map(({ key, hash }) => [key, hash])) }),
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

/** An entry as stored: its exact text, its links, and the columns that repeat parts of the text. */
export interface StoredEntry {
  readonly practiceId: string;
  readonly sequence: bigint;
  readonly at: Date;
  readonly entry: string;
  readonly previousHash: string;
  readonly hash: string;
  readonly event: string;
  readonly actorId: string | null;
  readonly horseId: string | null;
  readonly subjectType: string;
  readonly subjectId: string | null;
}

/** The text of an entry as an object; null when it is none. */
export const readEntry = (text: string): Readonly<Record<string, unknown>> | null => {
  try {
    const value: unknown = JSON.parse(text);
    return typeof value === "object" && value !== null && !Array.isArray(value)
      ? (value as Readonly<Record<string, unknown>>)
      : null;
  } catch {
    return null;
  }
};

/** Columns are there for looking things up; the text is what was hashed, and they must agree. */
const columnFaults = (one: StoredEntry): ChainFault[] => {
  const sequence = Number(one.sequence);
  const said = readEntry(one.entry);
  if (said === null) return [{ sequence, what: "is not readable" }];
  const columns = {
    practiceId: one.practiceId,
    sequence,
    at: one.at.toISOString(),
    event: one.event,
    actorId: one.actorId,
    horseId: one.horseId,
    subjectType: one.subjectType,
    subjectId: one.subjectId,
  };
  return Object.entries(columns)
    .filter(([key, value]) => said[key] !== value)
    .map(([key]) => ({ sequence, what: `the column ${key} says something else than the entry` }));
};

/** Walks a chain in pieces, oldest first. */
export interface ChainWalk {
  /** The faults of the next entries. */
  readonly take: (entries: readonly StoredEntry[]) => ChainFault[];
  /** Whether the walk ended where the chain should end. */
  readonly finish: (
    head: { readonly sequence: bigint; readonly hash: string } | undefined,
  ) => ChainFault[];
}

/**
 * Finds altered, missing, added and re-ordered entries. A chain that was rewritten from some entry to
 * its end, head included, holds again: only a head noted elsewhere shows that.
 */
export const walkChain = (): ChainWalk => {
  let lastSequence = 0n;
  let lastHash = FIRST_HASH;
  return {
    take: (entries) =>
      entries.flatMap((one) => {
        const sequence = Number(one.sequence);
        const faults: ChainFault[] = [];
        const expected = lastSequence + 1n;
        if (one.sequence !== expected)
          faults.push({ sequence, what: `entry ${expected} is missing` });
        if (one.previousHash !== lastHash)
          faults.push({ sequence, what: "does not follow from the entry before" });
        if (chainHash(one.previousHash, one.entry) !== one.hash)
          faults.push({ sequence, what: "was altered" });
        lastSequence = one.sequence;
        lastHash = one.hash;
        return [...faults, ...columnFaults(one)];
      }),
    finish: (head) => {
      const sequence = head?.sequence ?? 0n;
      if (sequence === lastSequence && (head?.hash ?? FIRST_HASH) === lastHash) return [];
      return [
        {
          sequence: null,
          what:
            sequence > lastSequence
              ? "the last entries are missing"
              : "the chain does not end where its head says",
        },
      ];
    },
  };
};
