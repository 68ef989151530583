import { gunzipSync, gzipSync } from "node:zlib";
import { describeFile, type Manifest } from "../../archive/manifest.ts";
import type { Ask } from "../../archive/tables.ts";
import {
  gatherRows,
  packBytes,
  type ArchiveOrder,
  type Gathered,
} from "../../archive/write-archive.ts";
import { streamZip } from "../../archive/zip.ts";
import { readMigrations } from "../../database/migrate.ts";
import type { Transaction } from "../../database/client.ts";
import type { Bytes } from "../../http/route.ts";
import type { Work } from "../../http/work.ts";
import { canonicalText } from "../../records/canonical.ts";
import { keepSigningKey } from "../../records/signing-keys.ts";
import * as casefile from "../casefile/service.ts";
import { readMe } from "./read-me.ts";

const askOf =
  (tx: Transaction): Ask =>
  (sql, values = []) =>
    sql.startsWith("FETCH") || sql.startsWith("SELECT") || /^\s/u.test(sql)
      ? tx.$queryRawUnsafe(sql, ...values)
      : tx.$executeRawUnsafe(sql, ...values).then(() => []);

/** A file made inside the transaction, held small until it is sent. */
interface Held {
  readonly path: string;
  readonly packed: Buffer;
}

const orderOf = (
  work: Work,
  about: Pick<ArchiveOrder, "kind"> & Partial<ArchiveOrder>,
): ArchiveOrder => ({
  practiceIds: [work.actor.practiceId],
  nowMs: work.nowMs,
  migrations: readMigrations().map(({ name, checksum }) => ({ name, checksum })),
  signer: work.signer,
  enter: async () => undefined,
  ...about,
});

/**
 * The rows are read in the request's own transaction, so that they are of one moment; films and
 * papers, which never change, are fetched one by one while the archive is on its way.
 */
const archive = async (
  work: Work,
  order: ArchiveOrder,
  extras: readonly { readonly path: string; readonly text: string }[],
  fileName: string,
): Promise<Bytes> => {
  const { tx, blobs } = work;
  // The public key must be among the rows before they are read.
  await keepSigningKey(tx, work.actor.practiceId, work.signer);
  const held: Held[] = [];
  const files: Manifest["files"] = [];
  const hold = async (path: string, bytes: Uint8Array): Promise<void> => {
    files.push(describeFile(path, bytes));
    held.push({ path, packed: gzipSync(bytes) });
  };
  for (const { path, text } of extras)
    // oxlint-disable-next-line no-await-in-loop
    await hold(path, Buffer.from(text, "utf8"));
  const gathered: Gathered = await gatherRows(order, askOf(tx), hold);
  const bytes = streamZip(async (zip) => {
    for (const { path, packed } of held)
      // oxlint-disable-next-line no-await-in-loop
      await zip.add(path, gunzipSync(packed));
    const { missing } = await packBytes(order, gathered, files, blobs, zip.add);
    // Breaking off is better than an archive that looks whole.
    if (missing.length > 0) throw new Error(`bytes are missing: ${missing.join(", ")}`);
  });
  return { bytes, mediaType: "application/zip", fileName, isMade: true };
};

/** One case with everything of its horse that is not of another case. */
export const caseArchive = async (work: Work, caseId: string): Promise<Bytes> => {
  const file = await casefile.read(work, caseId);
  const { horse } = file.case;
  work.audit({
    event: "case.exported",
    subjectType: "case",
    subjectId: caseId,
    horseId: horse.id,
    payload: null,
  });
  return archive(
    work,
    orderOf(work, { kind: "case", of: { caseId, horseId: horse.id } }),
    [
      { path: "README.txt", text: readMe("case") },
      { path: "case.json", text: canonicalText(JSON.parse(JSON.stringify(file))) },
    ],
    `case-${file.case.number}.zip`,
  );
};

/** Everything the practice has on record. What lets people in is left out. */
export const practiceArchive = async (work: Work): Promise<Bytes> => {
  work.audit({
    event: "practice.exported",
    subjectType: "practice",
    subjectId: work.actor.practiceId,
    horseId: null,
    payload: null,
  });
  return archive(
    work,
    orderOf(work, { kind: "practice" }),
    [{ path: "README.txt", text: readMe("practice") }],
    "practice.zip",
  );
};
