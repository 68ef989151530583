import { walkChain, readEntry, type StoredEntry } from "../records/audit.ts";
import { canonicalText, sha256Hex } from "../records/canonical.ts";
import { rowHash, rowsIn } from "../records/sealed-rows.ts";
import { isSealed, keyIdOf } from "../records/signer.ts";
import { MANIFEST, readManifest, SEAL, type Manifest } from "./manifest.ts";
import type { ArchiveReader } from "./zip.ts";

type Row = Readonly<Record<string, unknown>>;

/** What a check of an archive found. */
export interface ArchiveVerdict {
  readonly isWhole: boolean;
  readonly faults: readonly string[];
  /** Whose key signed the list of contents; to be compared with the one the practice gives. */
  readonly publicKey: string | null;
  readonly manifest: Manifest | null;
  readonly counts: {
    readonly files: number;
    readonly rows: number;
    readonly entries: number;
    readonly signatures: number;
    readonly sealedRows: number;
  };
}

const MOST_FAULTS = 200;

const rowsOf = (bytes: Buffer): readonly string[] =>
  bytes.toString("utf8").split("\n").slice(0, -1);

/** A column that holds text or a number, as text; empty when it holds neither. */
const said = (row: Row, column: string): string => {
  const value = row[column];
  return typeof value === "string" || typeof value === "number" ? String(value) : "";
};
const saidOrNull = (row: Row, column: string): string | null => said(row, column) || null;

const entryOf = (row: Row): StoredEntry => ({
  practiceId: said(row, "practice_id"),
  sequence: BigInt(said(row, "sequence")),
  at: new Date(said(row, "at")),
  entry: said(row, "entry"),
  previousHash: said(row, "previous_hash"),
  hash: said(row, "hash"),
  event: said(row, "event"),
  actorId: saidOrNull(row, "actor_id"),
  horseId: saidOrNull(row, "horse_id"),
  subjectType: said(row, "subject_type"),
  subjectId: saidOrNull(row, "subject_id"),
});

interface Signature {
  readonly text: string;
  readonly signature: string;
  readonly keyId: string;
}

/** Every signature anywhere inside a row, in columns or in what they hold. */
const signaturesIn = (value: unknown): readonly Signature[] => {
  if (Array.isArray(value)) return value.flatMap(signaturesIn);
  if (typeof value !== "object" || value === null) return [];
  const row = value as Row;
  const text = row["signed_text"] ?? row["signedText"];
  const signature = row["signature"];
  const keyId = row["signing_key_id"] ?? row["keyId"];
  return [
    ...(typeof text === "string" && typeof signature === "string" && typeof keyId === "string"
      ? [{ text, signature, keyId }]
      : []),
    ...Object.values(row).flatMap(signaturesIn),
  ];
};

/** Every entry of one practice's log in turn: one by one for a slice, as a chain for a whole log. */
const checkLog = (
  entries: readonly StoredEntry[],
  practice: Manifest["practices"][number],
  isSlice: boolean,
): readonly string[] => {
  const say = (faults: readonly { sequence: number | null; what: string }[]): readonly string[] =>
    faults.map(
      ({ sequence, what }) => `log ${sequence === null ? "" : `entry ${sequence} `}${what}`,
    );
  if (!isSlice) {
    const walk = walkChain();
    const head =
      practice.head === null
        ? undefined
        : { sequence: BigInt(practice.head.sequence), hash: practice.head.hash };
    return say([...walk.take(entries), ...walk.finish(head)]);
  }
  return entries.flatMap((entry, place) => {
    // Each entry begins a walk of its own at the hash it names; only the order is left to compare.
    const links = walkChain()
      .take([entry])
      .filter(({ what }) => !/is missing$|does not follow/u.test(what));
    const before = entries[place - 1];
    return say([
      ...links,
      ...(before !== undefined && before.sequence >= entry.sequence
        ? [{ sequence: Number(entry.sequence), what: "is out of order" }]
        : []),
    ]);
  });
};

/**
 * Checks an archive by itself, without a database or a network: the signature over the list of
 * contents, every file against the list, the log link by link, every row against what the log said of
 * it last, and every signature in every row.
 *
 * @param expectedKey the public key the archive must be signed with (64 hex digits), if it is known
 */
export const verifyArchive = async (
  archive: ArchiveReader,
  expectedKey?: string,
): Promise<ArchiveVerdict> => {
  const faults: string[] = [];
  const counts = { files: 0, rows: 0, entries: 0, signatures: 0, sealedRows: 0 };
  const verdict = (manifest: Manifest | null, publicKey: string | null): ArchiveVerdict => ({
    isWhole: faults.length === 0,
    faults: faults.slice(0, MOST_FAULTS),
    publicKey,
    manifest,
    counts,
  });
  let read: ReturnType<typeof readManifest>;
  try {
    const [text, seal] = [await archive.read(MANIFEST), await archive.read(SEAL)];
    read = readManifest(text.toString("utf8"), seal.toString("utf8"));
  } catch (error) {
    faults.push(`the archive: ${error instanceof Error ? error.message : String(error)}`);
    return verdict(null, null);
  }
  const { manifest, publicKey } = read;
  if (expectedKey !== undefined && expectedKey !== publicKey)
    faults.push("the archive is signed with another key than the one given");

  const listed = [MANIFEST, SEAL, ...manifest.files.map((file) => file.path)];
  for (const path of archive.paths)
    if (!listed.includes(path)) faults.push(`${path} is not on the list of contents`);
  if (new Set(archive.paths).size !== archive.paths.length)
    faults.push("a file is in the archive twice");

  const keys = new Map<string, string>();
  const entries = new Map<string, StoredEntry[]>();
  const hashes = new Map<string, string>();
  const signatures: { readonly of: string; readonly one: Signature }[] = [];
  const tableOf = new Map(
    manifest.tables.flatMap((table) => table.files.map((path) => [path, table.name] as const)),
  );
  const rowCounts = new Map<string, number>();
  for (const { path, bytes: size, sha256 } of manifest.files) {
    counts.files += 1;
    let bytes: Buffer;
    try {
      // One file at a time: they may be large.
      // oxlint-disable-next-line no-await-in-loop
      bytes = await archive.read(path);
    } catch (error) {
      faults.push(`${path}: ${error instanceof Error ? error.message : String(error)}`);
      continue;
    }
    if (bytes.length !== size || sha256Hex(bytes) !== sha256) {
      faults.push(`${path} was altered`);
      continue;
    }
    const table = tableOf.get(path);
    if (table === undefined) continue;
    for (const line of rowsOf(bytes)) {
      const row = JSON.parse(line) as Row;
      const name = `${table}/${said(row, "id") || said(row, "sequence")}`;
      counts.rows += 1;
      rowCounts.set(table, (rowCounts.get(table) ?? 0) + 1);
      if (canonicalText(row) !== line) faults.push(`${name} is not in canonical form`);
      if (table === "signing_keys" && said(row, "id") === keyIdOf(said(row, "public_key")))
        keys.set(said(row, "id"), said(row, "public_key"));
      else if (table === "audit_entries") {
        const entry = entryOf(row);
        const known = entries.get(entry.practiceId);
        if (known === undefined) entries.set(entry.practiceId, [entry]);
        else known.push(entry);
      } else {
        if (manifest.kind !== "practice" || table !== "first_aid_sheets")
          hashes.set(name, rowHash(row));
        for (const one of signaturesIn(row)) signatures.push({ of: name, one });
      }
    }
  }
  for (const { name, rows } of manifest.tables)
    if ((rowCounts.get(name) ?? 0) !== rows) faults.push(`${name} does not hold ${rows} rows`);

  const last = new Map<string, { readonly sequence: bigint; readonly hash: string | null }>();
  for (const practice of manifest.practices) {
    const own = entries.get(practice.id) ?? [];
    counts.entries += own.length;
    faults.push(...checkLog(own, practice, manifest.kind === "case"));
    for (const { entry, sequence } of own)
      for (const [key, hash] of Object.entries(rowsIn(readEntry(entry))))
        last.set(key, { sequence, hash });
  }
  for (const [key, { sequence, hash }] of last) {
    const found = hashes.get(key);
    if (found === undefined) {
      // A slice holds one case, and its horse may have had others.
      if (hash !== null && manifest.kind !== "case")
        faults.push(`${key} is gone; log entry ${sequence} knows it`);
    } else {
      counts.sealedRows += 1;
      if (found !== hash && !(manifest.kind !== "backup" && key.startsWith("first_aid_sheets/")))
        faults.push(`${key} is not as log entry ${sequence} left it`);
    }
  }
  for (const { of, one } of signatures) {
    counts.signatures += 1;
    const key = keys.get(one.keyId);
    if (key === undefined) faults.push(`${of} is signed with a key that is not in the archive`);
    else if (!isSealed(one.text, one.signature, key))
      faults.push(`${of} does not match its signature`);
  }
  return verdict(manifest, publicKey);
};
