/**
 * Solves every instance of a folder and prints value, best known, proof and time.
 * Usage: node packages/routing/bench/tsptw.ts <folder> [seconds per instance]
 * The folder may hold `best-known.txt` with lines `<file> <value>`.
 */
import { existsSync, readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { solveDayRoute } from "../src/index.ts";
import { readTsptw } from "../testdata/read-tsptw.ts";

const folder = process.argv[2];
if (folder === undefined) {
  console.error("usage: node packages/routing/bench/tsptw.ts <folder> [seconds per instance]");
  process.exit(2);
}
const limitMs = Number(process.argv[3] ?? 60) * 1000;
const list = join(folder, "best-known.txt");
const bestKnown = new Map(
  (existsSync(list) ? readFileSync(list, "utf8") : "")
    .split("\n")
    .filter((line) => /^\S+\s+[\d.]+$/.test(line))
    .map((line) => line.split(/\s+/) as [string, string]),
);
let worse = 0;
console.log(
  "instance                    value   best known  proof     lower bound   cpu ms  wall ms",
);
for (const file of readdirSync(folder)
  .filter((name) => name.endsWith(".txt") && name !== "best-known.txt")
  .sort()) {
  const problem = readTsptw(readFileSync(join(folder, file), "utf8"));
  const cpu = process.cpuUsage();
  const wall = performance.now();
  const result = solveDayRoute(problem, { nowMs: () => performance.now(), timeLimitMs: limitMs });
  const cpuMs = process.cpuUsage(cpu).user / 1000;
  const wallMs = performance.now() - wall;
  const known = bestKnown.get(file);
  const value = result.status === "solved" ? result.totalTravelSeconds : Number.NaN;
  if (known !== undefined && !(value <= Number(known) + 0.005)) worse++;
  console.log(
    [
      file.padEnd(24),
      value.toFixed(2).padStart(9),
      (known ?? "-").padStart(11),
      ` ${result.status === "solved" ? result.proof : result.status}`.padEnd(10),
      (result.status === "solved" ? result.lowerBoundSeconds.toFixed(2) : "-").padStart(12),
      cpuMs.toFixed(0).padStart(8),
      wallMs.toFixed(0).padStart(8),
    ].join(" "),
  );
}
if (worse > 0) {
  console.error(`${worse} worse than best known`);
  process.exit(1);
}
