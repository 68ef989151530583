import { fork } from "node:child_process";
import type { Film } from "../film/film.ts";
import type { ReadLimits, ReadResult, Refusal } from "../film/read-result.ts";

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
export const readRasterInProcess = (
  bytes: Uint8Array,
  limits: ProcessLimits,
  program: URL = workerUrl,
): Promise<ReadResult<Film>> =>
  new Promise((resolve) => {
    const child = fork(program, [], {
      serialization: "advanced",
      execArgv: [`--max-old-space-size=${heapMb}`],
      env: {},
      stdio: "ignore",
    });
    const finish = (result: ReadResult<Film>): void => {
      clearTimeout(timer);
      resolve(result);
      child.kill("SIGKILL");
    };
    const timer = setTimeout(() => {
      finish(refused("out-of-time", `Reading took over ${limits.timeLimitMs / 1000} s.`));
    }, limits.timeLimitMs);
    child.once("message", (result) => finish(result as ReadResult<Film>));
    child.once("error", (error) =>
      finish(refused("decoder-stopped", `The decoder stopped: ${String(error).slice(0, 200)}`)),
    );
    child.once("exit", (code) => {
      const ended = (): void =>
        finish(
          code === outOfMemoryCode
            ? refused("out-of-memory", "The picture needs more memory than one picture may take.")
            : refused("decoder-stopped", "The decoder ended early."),
        );
      // On a busy machine the end is heard of before the answer that was sent just before it.
      if (child.connected) child.once("disconnect", ended);
      else ended();
    });
    // A copy: a view into a larger buffer would carry all of it across.
    child.send({ bytes: bytes.slice(), limits: limits.read, memoryMb: limits.processMb }, () => {
      // A process that died before it was told is heard of through its exit.
    });
  });
