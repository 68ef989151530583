// Runs the trial of `tests/support/kill-trial.ts` and prints what it found.
import { runKillTrial } from "../support/kill-trial.ts";

const [, , kills, writes] = process.argv;
const from = performance.now();
const found = await runKillTrial({
  kills: Number(kills),
  writes: Number(writes),
  hands: 8,
  log: (message) => console.log(message),
});
const show = (label, value) => console.log(`  ${label.padEnd(52)} ${value}`);
const listed = (counts) =>
  Object.entries(counts)
    .map(([name, count]) => `${name} ${count}`)
    .join(", ");
const sum = (counts) => Object.values(counts).reduce((total, count) => total + count, 0);
show("killed", `${sum(found.killed)} (${listed(found.killed)})`);
show("acknowledged writes", `${sum(found.acknowledged)} (${listed(found.acknowledged)})`);
show("sent again under their key, unanswered", found.repeated);
show("of these already in the record", found.onlyAnswerLost);
show("answered ones asked again afterwards", found.replayed);
show("answered otherwise than the first time", found.answeredOtherwise.length);
show("lost", found.lost.length);
show("doubled", found.doubled.length);
show("faults of log, rows and stored bytes", found.faults.length);
show("stored bytes without a row, for the nightly sweep", found.orphanBlobs);
show("longest time without an acknowledged write", `${Math.round(found.longestSilenceMs)} ms`);
show("took", `${Math.round((performance.now() - from) / 1000)} s`);
for (const line of [...found.lost, ...found.doubled, ...found.answeredOtherwise, ...found.faults])
  console.log(`    ${line}`);
