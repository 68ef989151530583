// How long until the dashboard answers: from a bare checkout, with fresh data, and again.
import { spawn, spawnSync } from "node:child_process";
import { cpSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { root } from "../../apps/api/bin/build.mjs";
import { freePort } from "./free-port.mjs";

// The checkout as it stands, without anything that a command made.
const copyCheckout = (to) => {
  const { stdout } = spawnSync(
    "git",
    ["ls-files", "-z", "--cached", "--others", "--exclude-standard"],
    {
      cwd: root,
      encoding: "utf8",
      maxBuffer: 100_000_000,
    },
  );
  for (const path of new Set(stdout.split("\0").filter(Boolean))) {
    cpSync(join(root, path), join(to, path), { recursive: true, force: true });
  }
};

const startOnce = async (folder, dataDir) => {
  const port = await freePort();
  const from = performance.now();
  const child = spawn("npm", ["start"], {
    cwd: folder,
    stdio: ["ignore", "pipe", "pipe"],
    env: { ...process.env, PORT: String(port), HEELWARD_DATA: dataDir },
  });
  let output = "";
  const steps = [];
  const ended = new Promise((resolve) => child.once("exit", resolve));
  const ready = new Promise((resolve, reject) => {
    child.stderr.on("data", (chunk) => (output += chunk));
    child.stdout.on("data", (chunk) => {
      output += chunk;
      for (const line of String(chunk).split("\n")) {
        if (line.endsWith("…")) steps.push([line.slice(0, -2), performance.now()]);
      }
      const address = /is ready:\s+(\S+)/u.exec(output)?.[1];
      if (address !== undefined) resolve(address);
    });
    void ended.then(() => reject(new Error(`npm start ended before it was ready:\n${output}`)));
  });
  const answer = await fetch(await ready);
  await answer.arrayBuffer();
  const until = performance.now();
  if (!answer.ok) throw new Error(`The dashboard answered ${answer.status}`);
  const stopFrom = performance.now();
  child.kill("SIGTERM");
  await ended;
  // npm goes at once; the service is done when its port is closed.
  while (
    await fetch(`http://127.0.0.1:${port}/healthz`).then(
      () => true,
      () => false,
    )
  );
  const ends = [...steps.slice(1).map(([, at]) => at), until];
  return {
    seconds: (until - from) / 1000,
    stopSeconds: (performance.now() - stopFrom) / 1000,
    steps: steps.map(([name, at], index) => `${name} ${((ends[index] - at) / 1000).toFixed(1)} s`),
  };
};

const print = (name, { seconds, steps }) =>
  console.log(`  ${name.padEnd(44)} ${seconds.toFixed(1).padStart(6)} s   ${steps.join(", ")}`);

/** Prints cold and warm start times of `npm start`. */
export const startTimes = async () => {
  const folder = mkdtempSync(join(tmpdir(), "heelward-bench-"));
  try {
    copyCheckout(join(folder, "checkout"));
    const data = join(folder, "data");
    console.log("Start until the dashboard answers");
    print(
      "bare checkout (packages from npm's cache)",
      await startOnce(join(folder, "checkout"), data),
    );
    print("second start", await startOnce(join(folder, "checkout"), data));
    print(
      "fresh data, nothing to build",
      await startOnce(join(folder, "checkout"), join(folder, "data2")),
    );
    const last = await startOnce(join(folder, "checkout"), data);
    print("third start", last);
    console.log(`  ${"stop".padEnd(44)} ${last.stopSeconds.toFixed(1).padStart(6)} s`);
  } finally {
    rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
  }
};
