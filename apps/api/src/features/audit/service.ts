import { json, type listAudit } from "@heelward/contracts";
import type { z } from "zod";
import { decodeCursor, toPage } from "../../http/cursor.ts";
import { badField } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { readEntry } from "../../records/audit.ts";
import * as store from "./store.ts";

type AuditQuery = z.output<NonNullable<typeof listAudit.query>>;
type AuditPage = z.input<typeof listAudit.response>;

const sequenceOf = (cursor: string | undefined): bigint | null => {
  const [value] = decodeCursor(cursor, 1) ?? [];
  if (value === undefined) return null;
  if (!/^\d{1,18}$/.test(value))
    throw badField("/cursor", "is not a cursor of this list; start again without it");
  return BigInt(value);
};

/** Who did what, newest first. An entry that was tampered with is shown as it stands now. */
export const list = async ({ tx }: Work, query: AuditQuery): Promise<AuditPage> => {
  const found = await store.findEntries(tx, {
    ...query,
    before: sequenceOf(query.cursor),
    limit: query.limit + 1,
  });
  const { rows, nextCursor } = toPage(found, query.limit, (row) => [Number(row.sequence)]);
  return {
    items: rows.map((row) => ({
      sequence: Number(row.sequence),
      at: row.at.toISOString(),
      event: row.event,
      actor: row.actor,
      subjectType: row.subjectType,
      subjectId: row.subjectId,
      horseId: row.horseId,
      hash: row.hash,
      previousHash: row.previousHash,
      entry: json.parse(readEntry(row.entry) ?? row.entry),
    })),
    nextCursor,
  };
};
