import { Worker } from "node:worker_threads";
import type { Film } from "../film/film.ts";
import {
  checkByteCount,
  defaultReadLimits,
  RefusedFile,
  type ReadLimits,
  type ReadResult,
  type Refusal,
} from "../film/read-result.ts";
import { rasterTypeOf } from "../raster/read-raster.ts";
import { readRasterInProcess } from "./read-raster-in-process.ts";

/** How long and how large one decode may get. */
export interface WorkerLimits {
  readonly read: ReadLimits;
  /** Wall-clock time until the worker is ended. */
  readonly timeLimitMs: number;
  /** Heap of the worker, at least {@link leastHeapMb}; pixel buffers are bounded by `read`. */
  readonly heapMb: number;
  /** Resident memory of the process that reads a PNG or JPEG. */
  readonly processMb: number;
}

/** With less than this a thread cannot start, and Node ends the whole process instead of the thread. */
const leastHeapMb = 64;

/** House rule: the slowest honest film (JPEG 2000, 4300 × 4300) takes a few seconds. */
export const defaultWorkerLimits: WorkerLimits = {
  read: defaultReadLimits,
  timeLimitMs: 20_000,
  heapMb: 512,
  processMb: 1024,
};

// Sources run from `.ts` under Node's type stripping, the build from `.js`.
const extension = import.meta.url.endsWith(".ts") ? ".ts" : ".js";
const workerUrl = new URL(`./worker${extension}`, import.meta.url);

const refused = (reason: Refusal["reason"], detail: string): Refusal => ({
  ok: false,
  reason,
  detail,
});

const refusalOfError = (error: unknown): Refusal => {
  const code = (error as { readonly code?: unknown } | null)?.code;
  return code === "ERR_WORKER_OUT_OF_MEMORY"
    ? refused("out-of-memory", "The film needs more memory than one film may take.")
    : refused("decoder-stopped", `The decoder stopped: ${String(error).slice(0, 200)}`);
};

/**
 * Reads a film apart from this thread with a ceiling on memory and time, so that a hostile file ends
 * its own reader at worst: DICOM in a thread (its decoders are JavaScript and WebAssembly), PNG and
 * JPEG in a process (their decoder is native). The caller's bytes are copied, not taken. Never rejects.
 */
export const readFilmInWorker = (
  bytes: Uint8Array,
  limits: WorkerLimits = defaultWorkerLimits,
): Promise<ReadResult<Film>> => {
  try {
    checkByteCount(bytes.length, limits.read);
  } catch (error) {
    const detail = error instanceof RefusedFile ? error.message : String(error);
    return Promise.resolve(refused("too-large", detail));
  }
  if (rasterTypeOf(bytes) !== undefined) return readRasterInProcess(bytes, limits);
  return new Promise((resolve) => {
    const copy = new Uint8Array(bytes);
    const worker = new Worker(workerUrl, {
      workerData: { bytes: copy, limits: limits.read },
      transferList: [copy.buffer],
      resourceLimits: {
        maxOldGenerationSizeMb: Math.max(leastHeapMb, limits.heapMb),
        maxYoungGenerationSizeMb: 64,
      },
      execArgv: [],
      env: {},
    });
    const finish = (result: ReadResult<Film>): void => {
      clearTimeout(timer);
      resolve(result);
      void worker.terminate();
    };
    const timer = setTimeout(() => {
      finish(refused("out-of-time", `Reading took over ${limits.timeLimitMs / 1000} s.`));
    }, limits.timeLimitMs);
    worker.once("message", (result: ReadResult<Film>) => finish(result));
    worker.once("error", (error) => finish(refusalOfError(error)));
    worker.once("exit", () => finish(refused("decoder-stopped", "The decoder ended early.")));
  });
};
