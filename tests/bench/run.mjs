// `npm run bench [-- start size phone flag requests films drag pages queue fuzz medicine routing growth processes live soak loss scan]`: figures, not verdicts. Nothing here passes or fails.
import { cpus } from "node:os";
import { build, checkNode } from "../../apps/api/bin/build.mjs";
import { bundleSizes } from "./bundle-sizes.mjs";
import { live, processes, soak } from "./crowd.mjs";
import { filmDrag } from "./film-drag.mjs";
import { filmFuzz } from "./film-fuzz.mjs";
import { filmTimes } from "./film-times.mjs";
import { growth } from "./growth.mjs";
import { loss } from "./loss.mjs";
import { medicineTimes } from "./medicine-times.mjs";
import { pageScores } from "./page-scores.mjs";
import { flagTimes } from "./flag-times.mjs";
import { phoneTimes } from "./phone-times.mjs";
import { queueTimes } from "./queue-times.mjs";
import { requestRates } from "./request-rates.mjs";
import { routingTimes } from "./routing-times.mjs";
import { scanners } from "./scanners.mjs";
import { startTimes } from "./start-times.mjs";

const parts = {
  start: startTimes,
  size: bundleSizes,
  phone: phoneTimes,
  flag: flagTimes,
  medicine: medicineTimes,
  routing: routingTimes,
  requests: requestRates,
  films: filmTimes,
  drag: filmDrag,
  pages: pageScores,
  queue: queueTimes,
  fuzz: filmFuzz,
  growth,
  processes,
  live,
  soak,
  loss,
  scan: scanners,
};

checkNode();
build();
const asked = process.argv.slice(2);
const unknown = asked.filter((name) => !(name in parts));
if (unknown.length > 0) {
  console.error(`Unknown part: ${unknown.join(", ")}. Parts: ${Object.keys(parts).join(", ")}.`);
  process.exit(1);
}
const [cpu] = cpus();
console.log(`\nNode ${process.versions.node}, ${cpus().length} × ${cpu?.model ?? "?"}\n`);
for (const [name, part] of Object.entries(parts)) {
  if (asked.length > 0 && !asked.includes(name)) continue;
  await part();
  console.log("");
}
