// `npm test`: everything that can say no, cheapest first. Stops at the first step that fails.
// The last line is always `<n> passed, <n> failed`; a failed step that is no test counts as one.
import { existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, relative } from "node:path";
import {
  StepFailed,
  buildWeb,
  checkNode,
  generateClient,
  install,
  nodeProgram,
  programOf,
  run,
} from "../apps/api/bin/build.mjs";

const totals = { passed: 0, failed: 0 };
const finished = [];
const failures = [];
const reports = mkdtempSync(join(tmpdir(), "heelward-report-"));

const tool = (title, packageName, program, ...args) =>
  run(title, nodeProgram(), [programOf(packageName, program), ...args]);

/** Each failed test of a report with the head of its message, so that the log's last lines name it. */
const failuresOf = (report) =>
  report.testResults.flatMap(({ name, assertionResults }) =>
    assertionResults
      .filter(({ status }) => status === "failed")
      .map(({ fullName, failureMessages }) => {
        const message = failureMessages.join("\n").split("\n").slice(0, 12).join("\n    ");
        return `  ${relative(process.cwd(), name)}: ${fullName}\n    ${message}`;
      }),
  );

const vitest = (project) => {
  const report = join(reports, `${project}.json`);
  let failure;
  try {
    tool(
      `Tests: ${project}`,
      "vitest",
      "vitest",
      "run",
      `--project=${project}`,
      "--reporter=default",
      "--reporter=json",
      `--outputFile.json=${report}`,
    );
  } catch (error) {
    failure = error;
  }
  if (!existsSync(report)) throw failure ?? new StepFailed(`Tests: ${project}: no report`);
  const counts = JSON.parse(readFileSync(report, "utf8"));
  totals.passed += counts.numPassedTests;
  totals.failed += counts.numFailedTests;
  failures.push(...failuresOf(counts));
  if (failure !== undefined) throw failure;
  const unproven = counts.numPendingTests + counts.numTodoTests;
  if (unproven > 0) throw new StepFailed(`Tests: ${project}: ${unproven} skipped`);
  if (counts.numPassedTests === 0) throw new StepFailed(`Tests: ${project}: none ran`);
};

const browserTests = () => {
  const chromium = process.env.CHROMIUM_PATH ?? "/usr/bin/chromium";
  if (!existsSync(chromium)) {
    throw new StepFailed(`No browser at ${chromium}. Install Chromium or set CHROMIUM_PATH.`);
  }
  vitest("e2e");
};

const steps = {
  packages: install,
  client: generateClient,
  types: () => tool("Types", "typescript", "tsc", "-b"),
  format: () => tool("Format", "oxfmt", "oxfmt", "--check", "."),
  lint: () => tool("Lint", "oxlint", "oxlint", "--type-aware", "--deny-warnings"),
  "unused code": () => tool("Unused code", "knip", "knip", "--no-progress"),
  unit: () => vitest("unit"),
  api: () => vitest("api"),
  dashboard: buildWeb,
  e2e: browserTests,
};

checkNode();
let problem;
for (const [name, step] of Object.entries(steps)) {
  const from = performance.now();
  const failedBefore = totals.failed;
  try {
    step();
    finished.push(`ok      ${name} (${((performance.now() - from) / 1000).toFixed(1)} s)`);
  } catch (error) {
    if (!(error instanceof StepFailed)) throw error;
    if (totals.failed === failedBefore) totals.failed += 1;
    finished.push(`FAILED  ${name}`);
    problem = error.message;
    break;
  }
}
rmSync(reports, { recursive: true, force: true });
console.log(`\n${finished.join("\n")}`);
if (problem !== undefined) console.log([problem, ...failures].join("\n"));
console.log(`${totals.passed} passed, ${totals.failed} failed`);
process.exitCode = problem === undefined ? 0 : 1;
