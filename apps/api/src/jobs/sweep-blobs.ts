import { MS_PER_DAY } from "@heelward/domain/time";
import type { BlobKeeper } from "../blobs/blob-store.ts";
import type { SystemWork } from "./as-system.ts";

/** An upload is over long before: what has no row by then never gets one. House rule. */
const SPARED_MS = MS_PER_DAY;
const AT_ONCE = 1000;

/** Of these keys, those no row speaks of. The columns are all that ever hold a key of the store. */
const withoutRow = async ({ tx }: SystemWork, keys: readonly string[]): Promise<string[]> =>
  (
    await tx.$queryRaw<{ key: string }[]>`
      SELECT key FROM unnest(${[...keys]}::text[]) AS asked (key) EXCEPT (
        SELECT blob_key FROM documents UNION ALL SELECT blob_key FROM radiographs
        UNION ALL SELECT preview_key FROM radiographs UNION ALL SELECT pixels_key FROM radiographs)`
  ).map((row) => row.key);

/**
 * Removes bytes without a row, and drafts, that a killed process left in the store more than a day ago.
 * Every upload writes its bytes anew before its row, so what is old and has no row belongs to nobody.
 */
export const sweepBlobs = async (
  work: <T>(act: (work: SystemWork) => Promise<T>) => Promise<T>,
  practiceId: string,
  blobs: BlobKeeper,
  nowMs: number,
): Promise<number> => {
  const beforeMs = nowMs - SPARED_MS;
  let removed = 0;
  const sweep = async (keys: readonly string[]): Promise<void> => {
    for (const key of await work((system) => withoutRow(system, keys)))
      // oxlint-disable-next-line no-await-in-loop
      if (await blobs.removeOlder(key, beforeMs)) removed += 1;
  };
  let keys: string[] = [];
  for await (const { key, writtenAtMs } of blobs.list(practiceId)) {
    if (writtenAtMs >= beforeMs) continue;
    keys.push(key);
    if (keys.length < AT_ONCE) continue;
    await sweep(keys);
    keys = [];
  }
  if (keys.length > 0) await sweep(keys);
  return removed;
};
