/**
 * Many random feet through the planner: counts faults and times it.
 * Run: node --conditions=development packages/domain/bench/trim.ts [feet] [seed]
 */
import { proposeTrim } from "../src/trim/index.ts";
import { randomTrimInput, seeded } from "./random-foot.ts";
import { trimFaults } from "./trim-invariants.ts";

const count = Number(process.argv[2] ?? 100_000);
const seed = Number(process.argv[3] ?? 20_261_014);

const random = seeded(seed);
const found = new Map<string, number>();
const started = performance.now();
for (let index = 0; index < count; index += 1) {
  for (const fault of trimFaults(randomTrimInput(random)))
    found.set(fault, (found.get(fault) ?? 0) + 1);
}
const checkedMs = performance.now() - started;

const feet = Array.from({ length: 2000 }, () => randomTrimInput(random));
const timed = performance.now();
for (const foot of feet) proposeTrim(foot);
const perFootMs = (performance.now() - timed) / feet.length;

process.stdout.write(
  `${JSON.stringify({
    feet: count,
    seed,
    faults: Object.fromEntries(found),
    checkedSeconds: Number((checkedMs / 1000).toFixed(1)),
    proposalMicroseconds: Math.round(perFootMs * 1000),
  })}\n`,
);
process.exitCode = found.size === 0 ? 0 : 1;
