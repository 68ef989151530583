import type { verifyAudit } from "@heelward/contracts";
import type { z } from "zod";
import type { Work } from "../../http/work.ts";
import { readEntry, walkChain, type ChainFault, type StoredEntry } from "../../records/audit.ts";
import { canonicalText } from "../../records/canonical.ts";
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

const witness = (entry: StoredEntry, seen: Witnessed): void => {
  const payload = readEntry(entry.entry)?.["payload"];
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
    for (const row of rows) witness(row, seen);
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
): Promise<{ signatures: number; faults: ChainFault[] }> => {
  const keys = await readSigningKeys(tx);
  const faults: ChainFault[] = [];
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
        faults.push(
          ...wrong.map((what) => ({ sequence: null, what: `${name} ${subjectId} ${what}` })),
        );
      }
      const next = rows.at(-1)?.id ?? after;
      if (next === after) break;
      after = next;
    }
  }
  for (const { sequence, subjectType, subjectId } of seen.values())
    faults.push({
      sequence,
      what: `tells of a signature that is gone: ${subjectType} ${subjectId ?? ""}`.trim(),
    });
  return { signatures, faults };
};

/**
 * Walks the whole log and every signature of the practice. Reads in pieces, so that a log of years
 * does not have to fit into memory; what is written meanwhile is left for the next time.
 */
export const verify = async (work: Work): Promise<Verification> => {
  await keepSigningKey(work.tx, work.actor.practiceId, work.signer);
  const seen: Witnessed = new Map();
  const chain = await checkChain(work, seen);
  const signed = await checkSignatures(work, seen);
  const faults = [...chain.faults, ...signed.faults];
  return {
    entries: chain.entries,
    signatures: signed.signatures,
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
