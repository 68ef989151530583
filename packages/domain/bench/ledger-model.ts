import { runHistory } from "./random-histories.ts";

/**
 * Long run of the dose ledger against the plain minute-by-minute reading:
 * `node packages/domain/bench/ledger-model.ts [histories] [first seed]`. Leaves with status 1 on the
 * first disagreement and prints the history.
 */
const histories = Number(process.argv[2] ?? 50_000);
const firstSeed = Number(process.argv[3] ?? 1);
const startedAt = performance.now();
let decisions = 0;
let allowed = 0;
for (let index = 0; index < histories; index += 1) {
  const result = runHistory(firstSeed + index, 10);
  decisions += result.decisions;
  allowed += result.allowed;
  if (result.disagreement !== undefined) {
    console.log(result.disagreement);
    process.exit(1);
  }
}
console.log(
  JSON.stringify({
    histories,
    decisions,
    allowed,
    refused: decisions - allowed,
    disagreements: 0,
    seconds: Number(((performance.now() - startedAt) / 1000).toFixed(1)),
  }),
);
