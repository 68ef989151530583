/**
 * Damages honest films in many ways and reads them all: nothing may throw, hang for five seconds
 * or take more memory than the ceiling. Usage: node bench/fuzz.ts [files] [seed]
 */
import { Worker, isMainThread, parentPort, workerData } from "node:worker_threads";
import { defaultReadLimits } from "../src/film/read-result.ts";
import { randomStream } from "../src/phantom/random.ts";
import { readFilm } from "../src/reader/read-film.ts";
import { mutated } from "../src/testing/mutate.ts";
import { scratch } from "../src/testing/outside-tools.ts";
import { specimens } from "../src/testing/specimens.ts";

const longestMs = 5_000;
const memoryCeilingMb = 1_536;

interface Job {
  readonly count: number;
  readonly seed: number;
  readonly files: ReadonlyMap<string, Uint8Array>;
}

interface Report {
  readonly index: number;
  readonly kind: string;
  readonly outcome: string;
  readonly tookMs: number;
}

const work = async ({ count, seed, files }: Job): Promise<void> => {
  const random = randomStream(seed);
  const kinds = [...files.keys()];
  for (let index = 0; index < count; index += 1) {
    const kind = kinds[index % kinds.length]!;
    const bytes = mutated(files.get(kind)!, random);
    parentPort?.postMessage({ index, kind, outcome: "begun", tookMs: 0 } satisfies Report);
    const begun = performance.now();
    const result = await readFilm(bytes, defaultReadLimits);
    const outcome = result.ok ? "decoded" : result.reason;
    const tookMs = performance.now() - begun;
    parentPort?.postMessage({ index, kind, outcome, tookMs } satisfies Report);
  }
};

const supervise = async (): Promise<void> => {
  const [count = "50000", seed = "1"] = process.argv.slice(2);
  const folder = scratch();
  const files = await specimens(folder);
  folder.remove();
  const workerData: Job = { count: Number(count), seed: Number(seed), files };
  const worker = new Worker(new URL(import.meta.url), { workerData });
  const outcomes = new Map<string, number>();
  let slowest: Report | undefined;
  let current = "start";
  let lastSign = performance.now();
  let peakMb = 0;
  const fail = (why: string): never => {
    process.stderr.write(`FAILED at ${current}: ${why}\n`);
    process.exit(1);
  };
  const watch = setInterval(() => {
    peakMb = Math.max(peakMb, process.memoryUsage().rss / 2 ** 20);
    if (performance.now() - lastSign > longestMs) fail("no answer in time");
    if (peakMb > memoryCeilingMb) fail(`memory ${peakMb.toFixed(0)} MB`);
  }, 100);
  worker.on("message", (report: Report) => {
    lastSign = performance.now();
    current = `file ${report.index} (${report.kind}), seed ${seed}`;
    if (report.outcome === "begun") return;
    outcomes.set(report.outcome, (outcomes.get(report.outcome) ?? 0) + 1);
    if (report.tookMs > (slowest?.tookMs ?? 0)) slowest = report;
  });
  worker.on("error", (error) => fail(String(error)));
  worker.on("exit", () => {
    clearInterval(watch);
    const total = [...outcomes.values()].reduce((sum, value) => sum + value, 0);
    process.stdout.write(
      `${JSON.stringify({ files: total, seed: Number(seed), peakMb: Math.round(peakMb), slowest, outcomes: Object.fromEntries(outcomes) }, null, 2)}\n`,
    );
    if (total !== Number(count)) fail("some files were never answered");
  });
};

await (isMainThread ? supervise() : work(workerData as Job));
