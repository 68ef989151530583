import { parentPort, workerData } from "node:worker_threads";
import { planHorizon, type HorizonProblem, type HorizonWeights } from "@heelward/routing";

// Runs in a thread of its own, so that the service keeps answering while it searches.
const port = parentPort;
if (port === null) throw new Error("this file is started as a worker");
const { problem, seconds, seed, weights } = workerData as {
  readonly problem: HorizonProblem;
  readonly seconds: number;
  readonly seed: number;
  readonly weights: HorizonWeights;
};
const ROUNDS = 1_000_000;
/** Enough for a progress bar, not enough to flood. */
const EVERY_MS = 300;
let toldAtMs = Number.NEGATIVE_INFINITY;
const plan = planHorizon(problem, {
  seed,
  weights,
  rounds: ROUNDS,
  nowMs: () => performance.now(),
  timeLimitMs: seconds * 1000,
  onProgress: (progress) => {
    const atMs = performance.now();
    if (atMs - toldAtMs < EVERY_MS) return;
    toldAtMs = atMs;
    port.postMessage({ progress });
  },
});
port.postMessage({ plan });
