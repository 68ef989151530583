// Scanners from the distribution against a service that runs: sqlmap asks the operations that take
// text whether it reaches SQL, wapiti looks for what web servers get wrong. What is not installed is
// said, not passed over.
import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { root } from "../../apps/api/bin/build.mjs";
import { freePort } from "./free-port.mjs";

const PASSWORD = "wrackline demo 2026";
const EMAIL = "nessa.tarvish@wrackline.invalid";

/** Addresses whose text a careless service would put into SQL. */
const QUERIES = [
  "/api/v1/search?q=marl",
  "/api/v1/horses?limit=20&q=marl",
  "/api/v1/cases?limit=20",
  "/api/v1/resets?limit=20",
  "/api/v1/audit?limit=20",
  "/api/v1/people?role=vet",
  "/api/v1/handoff-notes?limit=20",
];

const isInstalled = (program) => spawnSync("which", [program]).status === 0;

const run = (program, args, cwd) => {
  const started = performance.now();
  const done = spawnSync(program, args, { cwd, encoding: "utf8", timeout: 900_000 });
  return {
    seconds: Math.round((performance.now() - started) / 1000),
    text: `${done.stdout ?? ""}${done.stderr ?? ""}`,
  };
};

const startService = async (dataDir) => {
  const port = await freePort();
  const service = spawn(process.execPath, [join(root, "apps/api/dist/main.js")], {
    env: { ...process.env, PORT: String(port), HEELWARD_DATA: dataDir, LOG_LEVEL: "error" },
    stdio: ["ignore", "pipe", "inherit"],
  });
  await new Promise((resolve, reject) => {
    service.stdout.on("data", (text) => String(text).includes("is ready") && resolve());
    service.on("exit", () => reject(new Error("the service did not start")));
  });
  return { service, url: `http://127.0.0.1:${port}` };
};

const signIn = async (url) => {
  const answer = await fetch(`${url}/api/v1/session`, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({ email: EMAIL, password: PASSWORD }),
  });
  return (await answer.json()).accessToken;
};

const sqlmap = async (url, folder) => {
  if (!isInstalled("sqlmap"))
    return console.log("  sqlmap: not installed (apt-get install sqlmap)");
  for (const path of QUERIES) {
    // Tokens live for ten minutes, a scan of one address may take longer than what is left.
    const token = await signIn(url);
    const { text, seconds } = run(
      "sqlmap",
      [
        "-u",
        url + path,
        "--batch",
        "--level=2",
        "--risk=1",
        // As fast as one account may ask.
        "--delay=0.11",
        "--dbms=PostgreSQL",
        "--flush-session",
        `--output-dir=${folder}`,
        "--ignore-code=400,404",
        `--headers=Authorization: Bearer ${token}`,
      ],
      folder,
    );
    const found = /is vulnerable|sqlmap identified the following injection/u.test(text);
    const ended = /do not appear to be injectable|no parameter\(s\) found/u.test(text);
    console.log(
      `  sqlmap ${path}: ${found ? "INJECTABLE" : ended ? "nothing injectable" : "did not finish"} (${seconds} s)`,
    );
    if (found || !ended) console.log(text.split("\n").slice(-15).join("\n"));
  }
  return undefined;
};

const wapiti = (url, token, folder) => {
  if (!isInstalled("wapiti"))
    return console.log("  wapiti: not installed (apt-get install wapiti)");
  const report = join(folder, "wapiti.json");
  const { text, seconds } = run(
    "wapiti",
    [
      "-u",
      `${url}/`,
      ...["/docs", "/api/v1/openapi.json", ...QUERIES].flatMap((path) => ["-s", url + path]),
      "--scope=domain",
      "-H",
      `Authorization: Bearer ${token}`,
      "-m",
      "common",
      "--max-scan-time",
      "5",
      "-f",
      "json",
      "-o",
      report,
      "--flush-session",
    ],
    folder,
  );
  try {
    const { vulnerabilities, anomalies, infos } = JSON.parse(readFileSync(report, "utf8"));
    const found = Object.entries({ ...vulnerabilities, ...anomalies }).filter(
      ([, list]) => list.length > 0,
    );
    console.log(`  wapiti, ${infos.crawled_pages_nbr ?? "?"} pages (${seconds} s):`);
    if (found.length === 0) console.log("    nothing found");
    for (const [kind, list] of found)
      for (const { path, info } of list) console.log(`    ${kind}: ${path}: ${info}`);
  } catch {
    console.log(`  wapiti wrote no report:\n${text.split("\n").slice(-15).join("\n")}`);
  }
  return undefined;
};

/** Starts the demo, or takes the one at SCAN_URL, and lets the scanners at it. */
export const scanners = async () => {
  console.log("Scanners against the demo, as the vet");
  const folder = mkdtempSync(join(tmpdir(), "heelward-scan-"));
  const { service, url } =
    process.env.SCAN_URL === undefined
      ? await startService(join(folder, "data"))
      : { service: undefined, url: process.env.SCAN_URL };
  try {
    wapiti(url, await signIn(url), folder);
    await sqlmap(url, folder);
  } finally {
    if (service !== undefined) {
      service.kill("SIGTERM");
      await new Promise((resolve) => service.once("exit", resolve));
    }
    rmSync(folder, { recursive: true, force: true });
  }
};
