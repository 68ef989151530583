/**
 * Plans an invented month and compares it with the greedy plan and the lower bounds.
 * Usage: node packages/routing/bench/horizon.ts [resets] [farriers] [days] [seconds]
 */
import { planHorizon } from "../src/index.ts";
import { inventedHorizon } from "../testdata/invented-horizon.ts";

const [resets, farriers, days, seconds] = [400, 4, 30, 20].map((value, index) =>
  Number(process.argv[2 + index] ?? value),
) as [number, number, number, number];
const problem = inventedHorizon({ resets, farriers, days, yards: Math.ceil(resets / 8) }, 7);
const timed = (label: string, rounds: number): void => {
  const cpu = process.cpuUsage();
  const wall = performance.now();
  const plan = planHorizon(problem, {
    rounds,
    nowMs: () => performance.now(),
    timeLimitMs: seconds * 1000,
  });
  const { score } = plan;
  console.log(
    `${label}: late points ${score.latePoints} (bound ${plan.latePointsLowerBound.toFixed(1)}), unplaced ${score.unplaced}, ` +
      `driving ${(score.driveSeconds / 3600).toFixed(1)} h (bound ${(plan.driveSecondsLowerBound / 3600).toFixed(1)} h), days used ${score.daysUsed} of ${problem.days.length}, ` +
      `all rounds done ${plan.finished}, cpu ${(process.cpuUsage(cpu).user / 1e6).toFixed(1)} s, wall ${((performance.now() - wall) / 1000).toFixed(1)} s`,
  );
};
console.log(`${resets} resets, ${farriers} farriers, ${days} days`);
timed("greedy  ", 0);
timed("improved", 1_000_000);
