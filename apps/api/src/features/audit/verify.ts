import type { verifyAudit } from "@heelward/contracts";
import type { z } from "zod";
import type { Work } from "../../http/work.ts";
import { readEntry, walkChain, type ChainFault, type StoredEntry } from "../../records/audit.ts";
import { canonicalText } from "../../records/canonical.ts";
import { rowHash, rowsIn } from "../../records/sealed-rows.ts";
import { isSealed } from "../../records/signer.ts";
import { keepSigningKey, readSigningKeys } from "../../records/signing-keys.ts";
import * as store from "./store.ts";

type Verification = z.input<typeof verifyAudit.response>;

const ENTRIES_AT_ONCE = 2000;
const SIGNATURES_AT_ONCE = 500;
const MOST_FAULTS = 200;
const NO_ID = "00000000-0000-0000-0000-000000000000";

/** Signatures the log speaks of, each with the record it belongs to. No two records share one. */
type Witnessed = Map<
  string,
  { readonly sequence: number; readonly subjectType: string; readonly subjectId: string | null }
>;

/** What the log said last of each row of the clinical record, by `table/id`. */
type Sealed = Map<string, { readonly sequence: number; readonly hash: string | null }>;

const witness = (entry: StoredEntry, seen: Witnessed, sealed: Sealed): void => {
  const said = readEntry(entry.entry);
  for (const [key, hash] of Object.entries(rowsIn(said)))
    sealed.set(key, { sequence: Number(entry.sequence), hash });
  const payload = said?.["payload"];
  if (
    typeof payload === "object" &&
    payload !== null &&
    "signature" in payload &&
    typeof payload.signature === "string"
  )
    seen.set(payload.signature, {
      sequence: Number(entry.sequence),
      subjectType: entry.subjectType,
      subjectId: entry.subjectId,
    });
};

const checkChain = async (
  { tx }: Work,
  seen: Witnessed,
  sealed: Sealed,
): Promise<{
  entries: number;
  head: { sequence: number; hash: string } | null;
  faults: ChainFault[];
}> => {
  const { head, last } = await store.readHead(tx);
  const walk = walkChain();
  const faults: ChainFault[] = [];
  let entries = 0;
  let after: bigint | null = null;
  for (;;) {
    // Each piece begins where the one before ended.
    // oxlint-disable-next-line no-await-in-loop
    const rows: StoredEntry[] = await store.nextEntries(
      tx,
      after,
      head?.sequence ?? last,
      ENTRIES_AT_ONCE,
    );
    faults.push(...walk.take(rows));
    for (const row of rows) witness(row, seen, sealed);
    entries += rows.length;
    after = rows.at(-1)?.sequence ?? after;
    if (rows.length < ENTRIES_AT_ONCE) break;
  }
  faults.push(...walk.finish(head));
  if (head !== undefined && last > head.sequence)
    faults.push({ sequence: Number(last), what: "was added beside the log" });
  return {
    entries,
    head: head === undefined ? null : { sequence: Number(head.sequence), hash: head.hash },
    faults,
  };
};

const inside = (value: unknown, path: string): unknown =>
  path
    .split(".")
    .reduce<unknown>(
      (at, key) =>
        typeof at === "object" && at !== null
          ? (at as Readonly<Record<string, unknown>>)[key]
          : undefined,
      value,
    );

/** Instants may be written with another offset; they are the same when they are the same moment. */
const isSameInstant = (signed: unknown, stored: unknown): boolean =>
  typeof signed === "string" &&
  typeof stored === "string" &&
  Date.parse(signed) === Date.parse(stored);

const differs = (path: string, signed: unknown, stored: unknown): boolean =>
  signed !== undefined &&
  canonicalText(signed) !== canonicalText(stored ?? null) &&
  !(path === "signedAt" && isSameInstant(signed, stored));

/** What is wrong with one signature; nothing when it holds. */
const signatureFaults = (
  row: store.SignedRow,
  keys: ReadonlyMap<string, string>,
): readonly string[] => {
  const { signedText, signature, keyId } = row;
  if (signedText === null || signature === null || keyId === null)
    return ["has lost its signature"];
  const publicKey = keys.get(keyId);
  if (publicKey === undefined) return ["is signed with a key that is not on record"];
  if (!isSealed(signedText, signature, publicKey)) return ["does not match its signature"];
  const signed = readEntry(signedText);
  return Object.entries(row.fields)
    .filter(([path, stored]) => differs(path, inside(signed, path), stored))
    .map(([path]) => `says something else under ${path} than what was signed`);
};

const checkSignatures = async (
  { tx }: Work,
  seen: Witnessed,
): Promise<{ signatures: number; faults: ChainFault[]; doubted: ReadonlySet<string> }> => {
  const keys = await readSigningKeys(tx);
  const faults: ChainFault[] = [];
  const doubted = new Set<string>();
  let signatures = 0;
  const kinds = [...store.SIGNED, ...(await store.otherSignedTables(tx))];
  for (const { name, page, isLogged } of kinds) {
    let after = NO_ID;
    for (;;) {
      // oxlint-disable-next-line no-await-in-loop
      const rows = await page(tx, after, SIGNATURES_AT_ONCE);
      for (const row of rows) {
        signatures += 1;
        const subjectId = row.subjectId ?? row.id;
        const told = row.signature === null ? undefined : seen.get(row.signature);
        if (row.signature !== null) seen.delete(row.signature);
        const wrong = [
          ...signatureFaults(row, keys),
          ...(row.signature === null || (told === undefined && !isLogged)
            ? []
            : told === undefined
              ? ["carries a signature the log does not know"]
              : told.subjectId === subjectId
                ? []
                : ["carries the signature of another record"]),
        ];
        if (wrong.length > 0) doubted.add(row.id);
        faults.push(
          ...wrong.map((what) => ({ sequence: null, what: `${name} ${subjectId} ${what}` })),
        );
      }
      const next = rows.at(-1)?.id ?? after;
      if (next === after) break;
      after = next;
    }
  }
  for (const { sequence, subjectType, subjectId } of seen.values()) {
    if (subjectId !== null) doubted.add(subjectId);
    faults.push({
      sequence,
      what: `tells of a signature that is gone: ${subjectType} ${subjectId ?? ""}`.trim(),
    });
  }
  return { signatures, faults, doubted };
};

/** Rows that entries written since the walk speak of: they have changed in good order. */
const changedSince = async ({ tx }: Work, head: bigint): Promise<ReadonlySet<string>> => {
  const { last } = await store.readHead(tx);
  const entries = await store.nextEntries(tx, head, last, ENTRIES_AT_ONCE);
  return new Set(entries.flatMap((entry) => Object.keys(rowsIn(readEntry(entry.entry)))));
};

type RowFault = ChainFault & { readonly id: string };

/** Every row of the clinical record as it stands beside what the log said of it last. */
const checkRows = async (
  work: Work,
  sealed: Sealed,
  head: number,
): Promise<{ rows: number; unsealedRows: number; faults: RowFault[] }> => {
  const { tx } = work;
  const doubts: (RowFault & { readonly key: string })[] = [];
  let rows = 0;
  let unsealedRows = 0;
  for (const table of await store.sealedTables(tx)) {
    let after = NO_ID;
    for (;;) {
      // oxlint-disable-next-line no-await-in-loop
      const found = await store.nextRows(tx, table, after, SIGNATURES_AT_ONCE);
      for (const { id, row } of found) {
        const key = `${table}/${id}`;
        const told = sealed.get(key);
        sealed.delete(key);
        if (told === undefined) unsealedRows += 1;
        else if (told.hash !== rowHash(JSON.parse(row) as Record<string, unknown>))
          doubts.push({
            key,
            id,
            sequence: told.sequence,
            what: `${key} is not as the log left it`,
          });
      }
      rows += found.length;
      after = found.at(-1)?.id ?? after;
      if (found.length < SIGNATURES_AT_ONCE) break;
    }
  }
  for (const [key, { sequence, hash }] of sealed)
    if (hash !== null)
      doubts.push({ key, id: key.slice(key.indexOf("/") + 1), sequence, what: `${key} is gone` });
  const since = doubts.length === 0 ? new Set<string>() : await changedSince(work, BigInt(head));
  return {
    rows,
    unsealedRows,
    faults: doubts.filter(({ key }) => !since.has(key)),
  };
};

/**
 * Walks the whole log, every row it sealed and every signature of the practice. Reads in pieces, so that a log of years
 * does not have to fit into memory; what is written meanwhile is left for the next time.
 */
export const verify = async (work: Work): Promise<Verification> => {
  await keepSigningKey(work.tx, work.actor.practiceId, work.signer);
  const seen: Witnessed = new Map();
  const sealed: Sealed = new Map();
  const chain = await checkChain(work, seen, sealed);
  const record = await checkRows(work, sealed, chain.head?.sequence ?? 0);
  const signed = await checkSignatures(work, seen);
  // A broken log is no witness to rows; and where a signature says what is wrong, that is said once.
  const ofRows =
    chain.faults.length > 0 ? [] : record.faults.filter(({ id }) => !signed.doubted.has(id));
  const faults = [
    ...chain.faults,
    ...signed.faults,
    ...ofRows.map(({ sequence, what }) => ({ sequence, what })),
  ];
  return {
    entries: chain.entries,
    signatures: signed.signatures,
    rows: record.rows,
    unsealedRows: record.unsealedRows,
    isWhole: faults.length === 0,
    head: chain.head,
    faults: [
      ...faults.slice(0, MOST_FAULTS),
      ...(faults.length > MOST_FAULTS
        ? [{ sequence: null, what: `and ${faults.length - MOST_FAULTS} more` }]
        : []),
    ],
  };
};
