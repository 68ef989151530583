import { fork } from "node:child_process";

/** What is asked of a process that lives for one answer. */
export interface ProcessQuestion {
  readonly program: URL;
  /** Sent whole; views into larger buffers must be copies, or all of the buffer goes across. */
  readonly order: unknown;
  /** Wall-clock time for the answer, a second try included. */
  readonly timeLimitMs: number;
  /** JavaScript's own share of memory; what native code takes lies outside it. */
  readonly heapMb: number;
}

/** The answer, or why there is none. */
export type ProcessAnswer =
  | { readonly kind: "answer"; readonly value: unknown }
  /** It ended by itself; `code` is null when a signal ended it. */
  | { readonly kind: "ended"; readonly code: number | null }
  | { readonly kind: "out of time" }
  | { readonly kind: "not started"; readonly error: Error };

const askOnce = ({
  program,
  order,
  timeLimitMs,
  heapMb,
}: ProcessQuestion): Promise<ProcessAnswer> =>
  new Promise((resolve) => {
    const child = fork(program, [], {
      serialization: "advanced",
      execArgv: [`--max-old-space-size=${heapMb}`],
      env: {},
      stdio: "ignore",
    });
    const finish = (answer: ProcessAnswer): void => {
      clearTimeout(timer);
      resolve(answer);
      child.kill("SIGKILL");
    };
    const timer = setTimeout(() => finish({ kind: "out of time" }), timeLimitMs);
    child.once("message", (value) => finish({ kind: "answer", value }));
    child.once("error", (error) => finish({ kind: "not started", error }));
    child.once("exit", (code) => {
      const ended = (): void => finish({ kind: "ended", code });
      // On a busy machine the end is heard of before the answer that was sent just before it.
      if (child.connected) child.once("disconnect", ended);
      else ended();
    });
    child.send(order as object, () => {
      // A process that died before it was told is heard of through its exit.
    });
  });

/** Ended from outside (a signal, no room to start) or without a word: not by its own judgement. */
const isNoVerdict = (answer: ProcessAnswer): boolean =>
  answer.kind === "not started" ||
  (answer.kind === "ended" && (answer.code === null || answer.code === 0));

/**
 * Asks a process of its own, which answers with one message and ends. One that was ended from
 * outside, as by a machine short of memory, is asked once more in the time that is left. Never rejects.
 */
export const askProcess = async (question: ProcessQuestion): Promise<ProcessAnswer> => {
  const from = performance.now();
  const first = await askOnce(question);
  const leftMs = question.timeLimitMs - (performance.now() - from);
  return isNoVerdict(first) && leftMs > 0 ? askOnce({ ...question, timeLimitMs: leftMs }) : first;
};
