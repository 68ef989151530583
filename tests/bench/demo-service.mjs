// The demo practice in a database of its own, and the service beside it in a process of its own.
import { fork } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { root } from "../../apps/api/bin/build.mjs";

/** Starts a part of the bench in a process of its own and waits for its address. */
export const startProcess = async (file, env) => {
  const child = fork(fileURLToPath(new URL(file, import.meta.url)), {
    env: { ...process.env, ...env },
    execArgv: [],
  });
  const [message] = await once(child, "message");
  return { child, url: message.url };
};

export const stopProcess = async (child) => {
  const ended = once(child, "exit");
  child.disconnect();
  await ended;
};

/** Signs a person of the demo in and gives the access token. */
export const signIn = async (url, person) => {
  const answer = await fetch(`${url}/api/v1/session`, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({ email: person.email, password: person.password }),
  });
  if (!answer.ok) throw new Error(`Sign-in answered ${answer.status}: ${await answer.text()}`);
  return (await answer.json()).accessToken;
};

/** Loads the demo into a fresh database, runs `use` on it and takes everything away again. */
export const withDemo = async (use) => {
  // Compiled code, as it runs for real; loaded here because it exists only after the build.
  const { prepareDatabase } = await import("../../apps/api/dist/database/prepare-database.js");
  const { loadOrCreateSecrets } = await import("../../apps/api/dist/database/secrets.js");
  const { loadDemo } = await import("../../apps/api/dist/demo/load-demo.js");
  const dataDir = mkdtempSync(join(tmpdir(), "heelward-bench-"));
  const secrets = loadOrCreateSecrets(dataDir);
  let summary;
  const database = await prepareDatabase({
    dataDir,
    secrets,
    fill: async (urls) => {
      summary = await loadDemo({ ...urls, dataDir, nowMs: Date.now() });
    },
    log: (message) => console.log(message),
  });
  try {
    await use({ database, dataDir, secrets, signIns: summary.signIns });
  } finally {
    await database.stop();
    rmSync(dataDir, { recursive: true, force: true });
  }
};

/** The demo practice behind a service of its own that also serves the dashboard. */
export const withDemoDashboard = (use) =>
  withDemo(async ({ database, dataDir, secrets, signIns }) => {
    const api = await startProcess("./api-process.mjs", {
      BENCH_API: JSON.stringify({
        appUrl: database.appUrl,
        dataDir,
        secrets,
        webDist: join(root, "apps/web/dist"),
      }),
    });
    try {
      await use(api.url, signIns);
    } finally {
      await stopProcess(api.child);
    }
  });
