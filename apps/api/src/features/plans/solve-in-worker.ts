import { Worker } from "node:worker_threads";
import type {
  HorizonPlan,
  HorizonProblem,
  HorizonProgress,
  HorizonWeights,
} from "@heelward/routing";

export interface SolveOptions {
  readonly seconds: number;
  readonly seed: number;
  readonly weights: HorizonWeights;
  readonly onProgress: (progress: HorizonProgress) => void;
  /** Ends the search; the promise then rejects with {@link SearchEnded}. */
  readonly signal: AbortSignal;
}

/** The search was ended from outside. */
export class SearchEnded extends Error {}

// Sources run from `.ts` under Node's type stripping, the build from `.js`.
const isSource = import.meta.url.endsWith(".ts");
const workerUrl = new URL(`./solver-worker${isSource ? ".ts" : ".js"}`, import.meta.url);
const HEAP_MB = 512;

type Message = { readonly progress: HorizonProgress } | { readonly plan: HorizonPlan };

/** Plans in a thread with a ceiling on memory. @throws SearchEnded, or the solver's error. */
export const solveInWorker = (
  problem: HorizonProblem,
  { seconds, seed, weights, onProgress, signal }: SolveOptions,
): Promise<HorizonPlan> =>
  new Promise((resolve, reject) => {
    const worker = new Worker(workerUrl, {
      workerData: { problem, seconds, seed, weights },
      resourceLimits: { maxOldGenerationSizeMb: HEAP_MB },
      execArgv: isSource ? ["--conditions=development"] : [],
      env: {},
    });
    const end = (): void => {
      signal.removeEventListener("abort", abort);
      void worker.terminate();
    };
    const abort = (): void => {
      end();
      reject(new SearchEnded("the search was ended"));
    };
    if (signal.aborted) {
      abort();
      return;
    }
    signal.addEventListener("abort", abort);
    worker.on("message", (message: Message) => {
      if ("progress" in message) onProgress(message.progress);
      else {
        end();
        resolve(message.plan);
      }
    });
    worker.once("error", (error) => {
      end();
      reject(error);
    });
    worker.once("exit", () => {
      end();
      reject(new Error("the solver ended without an answer"));
    });
  });
