import { localDateOf } from "@heelward/domain/time";
import { z } from "zod";
import type { BlobKeeper } from "../blobs/blob-store.ts";
import { isSealed, type Signer } from "../records/signer.ts";
import { readSigningKeys } from "../records/signing-keys.ts";
import type { SystemWork } from "./as-system.ts";

const note = z.object({ text: z.string(), signature: z.string(), publicKey: z.string() });
const noted = z.object({ practiceId: z.string(), sequence: z.int(), hash: z.string() });
/** Days looked back at: an entry follows from all before it, so the newest note shows most. */
const LOOKED_AT = 7;

/** The newest entry of a practice's log, as it was noted outside the database. */
export interface NotedHead {
  readonly sequence: number;
  readonly hash: string;
}

/**
 * Compares the log with the heads noted on earlier days. Whoever may change every row can rewrite a
 * log so that it holds in itself, or cut its end off and set its head back; not so that it agrees
 * with a signed note that lies elsewhere.
 *
 * @returns one sentence for each note that the log no longer agrees with
 */
export const compareWithNotes = async (
  { tx, practiceId }: SystemWork,
  blobs: BlobKeeper,
  signer: Signer,
): Promise<readonly string[]> => {
  const keys = new Set([signer.publicKeyHex, ...(await readSigningKeys(tx)).values()]);
  const faults: string[] = [];
  for (const { name, text } of (await blobs.notes(practiceId)).slice(-LOOKED_AT)) {
    const read = note.safeParse(JSON.parse(text));
    const said = read.success ? noted.safeParse(JSON.parse(read.data.text)) : undefined;
    if (
      !read.success ||
      said?.success !== true ||
      said.data.practiceId !== practiceId ||
      !keys.has(read.data.publicKey) ||
      !isSealed(read.data.text, read.data.signature, read.data.publicKey)
    ) {
      faults.push(`the note ${name} is not as it was signed`);
      continue;
    }
    const { sequence, hash } = said.data;
    if (sequence === 0) continue;
    // A handful of notes, in one transaction.
    // oxlint-disable-next-line no-await-in-loop
    const entry = await tx.auditEntry.findFirst({
      where: { sequence: BigInt(sequence) },
      select: { hash: true },
    });
    if (entry === null) faults.push(`entry ${sequence}, noted in ${name}, is gone from the log`);
    else if (entry.hash !== hash)
      faults.push(`entry ${sequence} is another than was noted in ${name}`);
  }
  return faults;
};

/** Notes today's newest entry, signed, in the store of films and papers; once a day. */
export const noteAuditHead = async (
  { tx, practiceId, nowMs }: SystemWork,
  blobs: BlobKeeper,
  signer: Signer,
): Promise<NotedHead> => {
  const { timeZone } = await tx.practice.findUniqueOrThrow({ where: { id: practiceId } });
  const row = await tx.auditHead.findFirst({});
  const head = { sequence: Number(row?.sequence ?? 0), hash: row?.hash ?? "" };
  const at = new Date(nowMs).toISOString();
  const { text, signature } = signer.seal({ practiceId, at, ...head });
  await blobs.noteOnce(
    `${practiceId}/${localDateOf(nowMs, timeZone)}.json`,
    JSON.stringify({ text, signature, publicKey: signer.publicKeyHex }),
  );
  return head;
};
