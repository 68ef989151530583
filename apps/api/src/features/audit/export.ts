import type { Bytes } from "../../http/route.ts";
import type { Work } from "../../http/work.ts";
import { readEntry } from "../../records/audit.ts";
import { canonicalText } from "../../records/canonical.ts";
import { csvOf } from "../radiographs/export/measurements-csv.ts";
import * as store from "./store.ts";

const ENTRIES_AT_ONCE = 1000;

interface OfLog {
  readonly horseId?: string | undefined;
}

/** Oldest first, so that the file can be read and checked from top to bottom. */
const readAll = async ({ tx }: Work, { horseId }: OfLog): Promise<store.ListedEntry[]> => {
  const all: store.ListedEntry[] = [];
  let before: bigint | null = null;
  for (;;) {
    // Each page begins where the one before ended.
    // oxlint-disable-next-line no-await-in-loop
    const page: store.ListedEntry[] = await store.findEntries(tx, {
      horseId,
      before,
      limit: ENTRIES_AT_ONCE,
    });
    all.push(...page);
    before = page.at(-1)?.sequence ?? before;
    if (page.length < ENTRIES_AT_ONCE) return all.toReversed();
  }
};

const nameOf = ({ horseId }: OfLog): string => (horseId === undefined ? "log" : `log-${horseId}`);

/** Every entry as one line of canonical JSON: its text, its hashes, and who that was by name. */
export const exportLines = async (work: Work, filter: OfLog): Promise<Bytes> => {
  const entries = await readAll(work, filter);
  const lines = entries.map((one) =>
    canonicalText({
      actorName: one.actor?.name ?? null,
      entry: readEntry(one.entry) ?? one.entry,
      hash: one.hash,
      previousHash: one.previousHash,
      sequence: Number(one.sequence),
    }),
  );
  return {
    bytes: new TextEncoder().encode(lines.map((line) => `${line}\n`).join("")),
    mediaType: "application/jsonl",
    fileName: `${nameOf(filter)}.jsonl`,
    isMade: true,
  };
};

const HEAD = [
  "Number",
  "Time (UTC)",
  "Who",
  "Roles",
  "What",
  "Record",
  "Record id",
  "Horse id",
  "Old value",
  "New value",
  "All details",
  "Time on the phone",
  "Request id",
  "Seal",
  "Seal before",
] as const;

const asText = (value: unknown): string | null =>
  value === undefined || value === null ? null : canonicalText(value);

const part = (payload: unknown, key: "before" | "after"): unknown =>
  typeof payload === "object" && payload !== null && key in payload
    ? (payload as Readonly<Record<string, unknown>>)[key]
    : undefined;

/** The same as a table that no spreadsheet takes for formulas. */
export const exportTable = async (work: Work, filter: OfLog): Promise<Bytes> => {
  const rows = (await readAll(work, filter)).map((one) => {
    const entry = readEntry(one.entry) ?? {};
    const payload = entry["payload"];
    const roles = entry["actorRoles"];
    return [
      Number(one.sequence),
      one.at.toISOString(),
      one.actor?.name ?? "the service",
      Array.isArray(roles) ? roles.join(", ") : null,
      one.event,
      one.subjectType,
      one.subjectId,
      one.horseId,
      asText(part(payload, "before")),
      asText(part(payload, "after")),
      asText(payload),
      typeof entry["clientTime"] === "string" ? entry["clientTime"] : null,
      typeof entry["requestId"] === "string" ? entry["requestId"] : null,
      one.hash,
      one.previousHash,
    ];
  });
  return {
    bytes: new TextEncoder().encode(csvOf([HEAD, ...rows])),
    mediaType: "text/csv; charset=utf-8",
    fileName: `${nameOf(filter)}.csv`,
    isMade: true,
  };
};
