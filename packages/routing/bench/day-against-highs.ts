/**
 * Solves random days with this package and with a general integer-programming solver in turns, and
 * prints both times and their ratio. Values must agree; the command fails when they do not.
 * Usage: node packages/routing/bench/day-against-highs.ts [days per size] [largest size]
 */
import { solveDayRoute } from "../src/index.ts";
import { solveDayModel } from "../testdata/day-model.ts";
import { loadHighs } from "../testdata/load-highs.ts";
import { randomDay } from "../testdata/random-day.ts";

const days = Number(process.argv[2] ?? 10);
const largest = Number(process.argv[3] ?? 9);
const highs = await loadHighs();
const median = (values: readonly number[]): number =>
  values.toSorted((a, b) => a - b)[values.length >> 1] ?? Number.NaN;
const timed = <T>(act: () => T): readonly [T, number] => {
  const from = performance.now();
  const result = act();
  return [result, performance.now() - from];
};
let different = 0;
console.log("stops  days   ours ms  HiGHS ms  HiGHS ÷ ours");
for (let stops = 5; stops <= largest; stops++) {
  const [ours, theirs]: [number[], number[]] = [[], []];
  for (let seed = 1; seed <= days; seed++) {
    const problem = randomDay(stops, seed * 31, true);
    // In turns, so that a slow moment of the machine falls on both.
    const [route, ourMs] = timed(() => solveDayRoute(problem));
    const [value, theirMs] = timed(() => solveDayModel(highs, problem));
    ours.push(ourMs);
    theirs.push(theirMs);
    if ((route.status === "solved" ? route.totalTravelSeconds : Infinity) !== value) different++;
  }
  const [a, b] = [median(ours), median(theirs)];
  console.log(
    `${String(stops).padStart(5)}${String(days).padStart(6)}${a.toFixed(2).padStart(10)}${b.toFixed(1).padStart(10)}${(b / a).toFixed(0).padStart(14)}`,
  );
}
if (different > 0) {
  console.error(`${different} days with different values`);
  process.exit(1);
}
