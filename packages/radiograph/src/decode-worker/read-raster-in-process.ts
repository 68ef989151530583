import type { Film } from "../film/film.ts";
import type { ReadLimits, ReadResult, Refusal } from "../film/read-result.ts";
import { askProcess } from "./ask-process.ts";

/** How long and how large the process of one picture may get. */
export interface ProcessLimits {
  readonly read: ReadLimits;
  /** Wall-clock time until the process is ended. */
  readonly timeLimitMs: number;
  /** Resident memory of the whole process, Node itself (about 60 MB) included. */
  readonly processMb: number;
}

const extension = import.meta.url.endsWith(".ts") ? ".ts" : ".js";
const workerUrl = new URL(`./raster/worker${extension}`, import.meta.url);
const outOfMemoryCode = 77;
/** JavaScript's own share; pictures lie outside it and are counted by `processMb`. */
const heapMb = 256;

const refused = (reason: Refusal["reason"], detail: string): Refusal => ({
  ok: false,
  reason,
  detail,
});

/**
 * Reads a PNG or JPEG in a process of its own: the picture library is native code, and a crash in it
 * ends that process and nothing else. Never rejects. `program` takes the place of the reader in tests.
 */
export const readRasterInProcess = async (
  bytes: Uint8Array,
  limits: ProcessLimits,
  program: URL = workerUrl,
): Promise<ReadResult<Film>> => {
  const answer = await askProcess({
    program,
    // A copy: a view into a larger buffer would carry all of it across.
    order: { bytes: bytes.slice(), limits: limits.read, memoryMb: limits.processMb },
    timeLimitMs: limits.timeLimitMs,
    heapMb,
  });
  if (answer.kind === "answer") return answer.value as ReadResult<Film>;
  if (answer.kind === "out of time")
    return refused("out-of-time", `Reading took over ${limits.timeLimitMs / 1000} s.`);
  if (answer.kind === "not started")
    return refused("decoder-stopped", `The decoder stopped: ${String(answer.error).slice(0, 200)}`);
  return answer.code === outOfMemoryCode
    ? refused("out-of-memory", "The picture needs more memory than one picture may take.")
    : refused("decoder-stopped", "The decoder ended early.");
};
