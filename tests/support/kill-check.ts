import { createHash } from "node:crypto";
import { existsSync, globSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { TrialPractice } from "./kill-practice.ts";
import type { Rig } from "./kill-rig.ts";
import { PLACES, type Acknowledged, type Kind } from "./kill-writes.ts";

/** Everything is empty, but for the count, when nothing was lost. */
export interface CheckFindings {
  readonly lost: readonly string[];
  readonly doubled: readonly string[];
  /** Where rows, log and stored bytes do not agree. */
  readonly faults: readonly string[];
  /** Bytes that no row speaks of: uploads cut off between the store and the commit. */
  readonly orphanBlobs: number;
}

const sha256 = (bytes: Buffer | string): string => createHash("sha256").update(bytes).digest("hex");

/** Rows that carry a mark, by mark. */
const rowsByMark = async (
  rig: Rig,
  kind: Kind,
): Promise<ReadonlyMap<string, readonly string[]>> => {
  const { table, mark } = PLACES[kind];
  const rows = await rig.query(
    `SELECT ${mark} AS mark, array_agg(id::text) AS ids FROM ${table} WHERE ${mark} LIKE 'mark %' GROUP BY 1`,
  );
  return new Map(rows.map((row) => [String(row["mark"]), row["ids"] as string[]]));
};

/** The chain recomputed here: SHA-256 (FIPS 180-4) over the hash before, a line feed and the entry. */
const chainFaults = async (rig: Rig): Promise<string[]> => {
  const entries = await rig.query(
    "SELECT sequence::int, entry, previous_hash, hash FROM audit_entries ORDER BY sequence",
  );
  const [head] = await rig.query("SELECT sequence::int, hash FROM audit_heads");
  const faults: string[] = [];
  let last = { sequence: 0, hash: "0".repeat(64) };
  for (const row of entries) {
    const sequence = Number(row["sequence"]);
    const hash = sha256(`${last.hash}\n${String(row["entry"])}`);
    if (sequence !== last.sequence + 1) faults.push(`the log jumps to entry ${sequence}`);
    if (row["previous_hash"] !== last.hash || row["hash"] !== hash)
      faults.push(`entry ${sequence} does not follow`);
    last = { sequence, hash: String(row["hash"]) };
  }
  if (head?.["sequence"] !== last.sequence || head["hash"] !== last.hash)
    faults.push("the log does not end at its head");
  return faults;
};

const blobFaults = async (rig: Rig, acknowledged: readonly Acknowledged[]): Promise<string[]> => {
  const faults: string[] = [];
  const rows = await rig.query(
    `SELECT id::text, sha256, ARRAY[blob_key] AS keys FROM documents
     UNION ALL SELECT id::text, sha256, ARRAY[blob_key, preview_key, pixels_key] FROM radiographs`,
  );
  for (const row of rows)
    for (const key of row["keys"] as string[]) {
      const path = join(rig.dataDir, "blobs", key);
      if (!existsSync(path)) faults.push(`${key} of a row is not in the store`);
      else if (sha256(readFileSync(path)) !== key.slice(-64))
        faults.push(`${key} is not as it was`);
    }
  const sums = new Map(rows.map((row) => [String(row["id"]), row["sha256"]]));
  for (const { write, id, text } of acknowledged) {
    if (write.upload === undefined) continue;
    // A photo is kept without what a phone writes into it; a film as it came.
    const { sha256: said } = JSON.parse(text) as { sha256: string };
    if (sums.get(id) !== said) faults.push(`${write.kind} ${id} has other bytes than was answered`);
    if (write.kind === "film" && said !== sha256(write.upload.bytes))
      faults.push(`film ${id} has other bytes than were sent`);
  }
  return faults;
};

const countOrphans = async (rig: Rig): Promise<number> => {
  const [row] = await rig.query(
    `SELECT array_agg(key) AS keys FROM (SELECT blob_key AS key FROM documents
     UNION SELECT unnest(ARRAY[blob_key, preview_key, pixels_key]) FROM radiographs) all_keys`,
  );
  const keys = new Set((row?.["keys"] ?? []) as string[]);
  return globSync("*/*/*", { cwd: join(rig.dataDir, "blobs") }).filter((path) => !keys.has(path))
    .length;
};

/** Compares the record with what was answered. */
export const checkRecord = async (
  rig: Rig,
  practice: TrialPractice,
  acknowledged: readonly Acknowledged[],
): Promise<CheckFindings> => {
  const lost: string[] = [];
  const doubled: string[] = [];
  const found = new Map<Kind, ReadonlyMap<string, readonly string[]>>();
  // oxlint-disable-next-line no-await-in-loop
  for (const kind of Object.keys(PLACES) as Kind[]) found.set(kind, await rowsByMark(rig, kind));
  for (const { write, id } of acknowledged) {
    const ids = found.get(write.kind)?.get(write.mark) ?? [];
    if (!ids.includes(id)) lost.push(`${write.kind} ${id}`);
    if (ids.length > 1) doubled.push(`${write.kind} ${ids.join(" ")}`);
  }
  const rows = [...found.values()].reduce((sum, marks) => sum + marks.size, 0);
  const unclaimed = await rig.query("SELECT key FROM idempotency_keys WHERE status = 0");
  const [told] = await rig.query(
    `SELECT count(*)::int AS n FROM (SELECT subject_id FROM audit_entries
     WHERE subject_id = ANY ($1::uuid[]) GROUP BY subject_id) told`,
    [acknowledged.map(({ id }) => id)],
  );
  const verdict = await practice.get("/audit/verification");
  return {
    lost,
    doubled,
    faults: [
      ...(rows === acknowledged.length
        ? []
        : [`${rows} rows, but ${acknowledged.length} acknowledged writes`]),
      ...(told?.["n"] === acknowledged.length
        ? []
        : [`the log tells of ${String(told?.["n"])} of ${acknowledged.length} writes`]),
      ...unclaimed.map((row) => `the key ${String(row["key"])} was taken and never answered`),
      ...(verdict["isWhole"] === true ? [] : [`the service finds ${JSON.stringify(verdict)}`]),
      ...(await chainFaults(rig)),
      ...(await blobFaults(rig, acknowledged)),
    ],
    orphanBlobs: await countOrphans(rig),
  };
};
