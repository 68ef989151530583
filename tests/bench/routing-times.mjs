// Days and weeks of the farriers: our exact day against a general integer-programming solver in the
// same run, published instances against their listed values, and an invented month against the
// greedy plan and its bounds.
import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { nodeProgram, root } from "../../apps/api/bin/build.mjs";

const scripts = [
  { title: "days against HiGHS", script: "day-against-highs.ts", args: ["10", "9"] },
  {
    title: "published instances",
    script: "tsptw.ts",
    args: [join(root, "packages/routing/testdata/tsptw"), "20"],
  },
  {
    title: "a month of 400 resets, 4 farriers, 30 days",
    script: "horizon.ts",
    args: ["400", "4", "30", "20"],
  },
];

export const routingTimes = () => {
  for (const { title, script, args } of scripts) {
    console.log(`routing, ${title}`);
    const result = spawnSync(
      nodeProgram(),
      [
        "--conditions=development",
        "--disable-warning=ExperimentalWarning",
        join(root, "packages/routing/bench", script),
        ...args,
      ],
      { cwd: root, encoding: "utf8", stdio: ["ignore", "pipe", "inherit"] },
    );
    console.log(result.stdout.replaceAll(/^/gmu, "  ").trimEnd());
    if (result.status !== 0) console.log(`  ended with ${result.status ?? result.signal}`);
  }
};
