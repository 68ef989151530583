import { askProcess } from "@heelward/radiograph/decode-worker";

/** How large and how long the process of one photo may get. */
export interface PhotoLimits {
  readonly largestPx: number;
  readonly longestSidePx: number;
  /** Wall-clock time until the process is ended. */
  readonly timeLimitMs: number;
  /** Resident memory of the whole process, Node itself (about 60 MB) included. */
  readonly memoryMb: number;
}

/** House rule: a phone's 50 megapixels decode to 150 MB and take about two seconds. */
export const PHOTO_LIMITS: PhotoLimits = {
  largestPx: 60_000_000,
  longestSidePx: 2400,
  timeLimitMs: 20_000,
  memoryMb: 768,
};

const extension = import.meta.url.endsWith(".ts") ? ".ts" : ".js";
const workerUrl = new URL(`./photo-worker${extension}`, import.meta.url);
const HEAP_MB = 128;

/**
 * Turns a photo upright, shrinks it and drops the place and device it was taken with, in a process of
 * its own: the picture library is native code, and a file that breaks it ends that process and
 * nothing else. Undefined when the photo is damaged, too large, or its process was ended. Never
 * rejects. `program` takes the place of the reader in tests.
 */
export const shrinkPhoto = async (
  bytes: Uint8Array,
  limits: PhotoLimits = PHOTO_LIMITS,
  program: URL = workerUrl,
): Promise<Uint8Array | undefined> => {
  const { timeLimitMs, ...order } = limits;
  const answer = await askProcess({
    program,
    // A copy: a view into a larger buffer would carry all of it across.
    order: { bytes: bytes.slice(), ...order },
    timeLimitMs,
    heapMb: HEAP_MB,
  });
  return answer.kind === "answer" ? (answer.value as Uint8Array) : undefined;
};
