// How long the dose rules think over five years of history, and what a signed course costs beside a
// bare transaction of the same statements on a copy of the same database. Before that, the rules of
// the doses are held against a plain minute-by-minute reading of the labels.
import { execFile, fork } from "node:child_process";
import { randomUUID } from "node:crypto";
import { once } from "node:events";
import { mkdtempSync, rmSync } from "node:fs";
import { availableParallelism, tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import pg from "pg";

const DAY = 86_400_000;
const years = 5;
const repeats = 300;
const courses = 120;
const warmUp = 20;

const quantile = (numbers, share) =>
  numbers.toSorted((a, b) => a - b)[
    Math.min(numbers.length - 1, Math.floor(numbers.length * share))
  ];
const show = (label, times) =>
  console.log(
    `  ${label.padEnd(34)} median ${quantile(times, 0.5).toFixed(2).padStart(8)} ms   p99 ${quantile(times, 0.99).toFixed(2).padStart(8)} ms`,
  );
const timed = async (work) => {
  const from = performance.now();
  await work();
  return performance.now() - from;
};

/** A horse on pergolide every day for five years, with a painkiller course each quarter. */
const history = (atMs) => {
  const firstMs = atMs - years * 365 * DAY;
  const on = (ms) => new Date(ms).toISOString().slice(0, 10);
  const zone = "Europe/Dublin";
  const course = (id, drugKey, presentationKey, startMs, days, doseMg, times) => ({
    id,
    drugKey,
    presentationKey,
    route: "oral",
    steps: [{ fromDay: 1, toDay: days, doseMg, timesLocal: times, everyDays: 1 }],
    startOn: on(startMs),
    zone,
    status: "finished",
    weightKgUsed: 500,
    signedAtMs: startMs,
  });
  const doses = [];
  const give = (one, ms) =>
    doses.push({
      id: `dose ${doses.length}`,
      courseId: one.id,
      drugKey: one.drugKey,
      presentationKey: one.presentationKey,
      route: "oral",
      doseMg: one.steps[0].doseMg,
      givenAtMs: ms,
      outcome: "given",
      givenBy: "somebody",
      scheduledAtMs: ms,
    });
  const all = [];
  for (let year = 0; year < years; year += 1) {
    const from = firstMs + year * 365 * DAY;
    const daily = course(`pergolide ${year}`, "pergolide", "pergolide-tablet-1mg", from, 365, 1, [
      "08:00",
    ]);
    all.push(daily);
    for (let day = 0; day < 365; day += 1) give(daily, from + day * DAY + 8 * 3_600_000);
    for (let quarter = 0; quarter < 4; quarter += 1) {
      const start = from + quarter * 91 * DAY;
      const pain = course(
        `pain ${year}-${quarter}`,
        "phenylbutazone",
        "phenylbutazone-powder-1g",
        start,
        10,
        1000,
        ["10:00", "22:00"],
      );
      all.push(pain);
      for (let day = 0; day < 10; day += 1) {
        give(pain, start + day * DAY + 10 * 3_600_000);
        give(pain, start + day * DAY + 22 * 3_600_000);
      }
    }
  }
  const weights = Array.from({ length: years * 26 }, (_, index) => ({
    weightKg: 500 + (index % 7),
    method: "scale",
    takenAtMs: firstMs + index * 14 * DAY,
  }));
  weights.push({ weightKg: 500, method: "scale", takenAtMs: atMs - DAY });
  return {
    animal: {
      type: "horse",
      heightCm: 160,
      bornOn: "2014-05-01",
      conditions: [],
      foodChain: "excluded",
    },
    weights,
    courses: all.map((one) =>
      one.id === `pergolide ${years - 1}` ? { ...one, status: "signed" } : one,
    ),
    doses,
    holds: [],
    atMs,
    zone,
    jurisdiction: "UK",
    place: "yard",
  };
};

const decisions = async () => {
  const { judgeCourse, judgeDose, ledger } =
    await import("../../packages/domain/dist/medication/index.js");
  const context = history(Date.parse("2026-10-14T09:00:00Z"));
  const dose = {
    id: "now",
    drugKey: "phenylbutazone",
    presentationKey: "phenylbutazone-powder-1g",
    route: "oral",
    doseMg: 1000,
    givenAtMs: context.atMs,
    outcome: "given",
    givenBy: "a vet",
    givenByRole: "vet",
  };
  const request = {
    drugKey: "phenylbutazone",
    presentationKey: "phenylbutazone-powder-1g",
    route: "oral",
    startOn: "2026-10-15",
    steps: [{ fromDay: 1, toDay: 10, doseMg: 1000, timesLocal: ["10:00", "22:00"], everyDays: 1 }],
  };
  console.log(
    `Dose rules on ${years} years of history (${context.doses.length} doses, ${context.courses.length} courses, ${context.weights.length} weighings)`,
  );
  for (const [label, decide] of [
    ["may this dose be given", () => judgeDose(dose, context)],
    ["what is on board, what is next", () => ledger(context)],
    ["may this course be signed", () => judgeCourse(request, context)],
  ]) {
    for (let index = 0; index < warmUp; index += 1) decide();
    const times = [];
    for (let index = 0; index < repeats; index += 1) times.push(await timed(decide));
    show(label, times);
  }
};

const startApi = async (settings) => {
  const child = fork(fileURLToPath(new URL("./api-process.mjs", import.meta.url)), {
    env: { ...process.env, BENCH_API: JSON.stringify(settings) },
    execArgv: [],
  });
  const [{ url }] = await once(child, "message");
  return { child, url: `${url}/api/v1` };
};
const stopApi = async ({ child }) => {
  const ended = once(child, "exit");
  child.disconnect();
  await ended;
};

const EMAIL = "bench.vet@test.invalid";
const PASSWORD = "a long pass phrase for the bench";

/** One practice, one vet, and a weighed horse for each course. */
const seed = async (client) => {
  const { hashPassword } = await import("../../apps/api/dist/features/session/password.js");
  const [practice, yard, vet] = [randomUUID(), randomUUID(), randomUUID()];
  await client.query(
    "INSERT INTO practices (id, name, phone, time_zone, jurisdiction) VALUES ($1, 'Bench', '+353 1 000 0000', 'Europe/Dublin', 'UK')",
    [practice],
  );
  await client.query(
    "INSERT INTO yards (practice_id, id, name, lat, lon, time_zone) VALUES ($1, $2, 'Bench yard', 53, -9, 'Europe/Dublin')",
    [practice, yard],
  );
  await client.query(
    "INSERT INTO people (practice_id, id, name, email, roles, registration_number, clinical_lead, password_hash) VALUES ($1, $2, 'Bench Vet', $3, '{vet}', 'REG-1', true, $4)",
    [practice, vet, EMAIL, await hashPassword(PASSWORD)],
  );
  const horses = [];
  for (let index = 0; index < courses + warmUp; index += 1) {
    const id = randomUUID();
    horses.push(id);
    await client.query(
      "INSERT INTO horses (practice_id, id, name, type, sex, born_on, height_cm, yard_id, food_chain) VALUES ($1, $2, $3, 'horse', 'mare', '2014-05-01', 160, $4, 'excluded')",
      [practice, id, `Horse ${index}`, yard],
    );
    await client.query(
      "INSERT INTO weighings (practice_id, id, horse_id, weighed_at, weight_kg, low_kg, high_kg, method, weighed_by) VALUES ($1, $2, $3, now() - interval '1 day', 500, 495, 505, 'scale', $4)",
      [practice, randomUUID(), id, vet],
    );
  }
  return horses;
};

const caller = async (url) => {
  const send = async (path, body, more = {}) => {
    const answer = await fetch(`${url}${path}`, {
      method: "POST",
      headers: { "content-type": "application/json", "idempotency-key": randomUUID(), ...more },
      body: JSON.stringify(body),
    });
    if (!answer.ok) throw new Error(`${path} answered ${answer.status}: ${await answer.text()}`);
    return answer.json();
  };
  const { accessToken } = await send("/session", { email: EMAIL, password: PASSWORD });
  return (path, body, more = {}) =>
    send(path, body, { authorization: `Bearer ${accessToken}`, ...more });
};

const withClient = async (url, use) => {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    return await use(client);
  } finally {
    await client.end();
  }
};
const beside = (url, name) => {
  const other = new URL(url);
  other.pathname = `/${name}`;
  return other.href;
};

/** Signs every draft and notes the statements of each. */
const signAll = async (api, drafts) => {
  const send = await caller(api.url);
  const runs = [];
  for (const draft of drafts) {
    api.child.send("note");
    const ms = await timed(() =>
      send(`/courses/${draft.id}/signature`, {}, { "if-match": `"${draft.version}"` }),
    );
    api.child.send("tell");
    const [{ statements }] = await once(api.child, "message");
    runs.push({ ms, statements });
  }
  return runs;
};

const replayAll = (url, runs) =>
  withClient(url, async (client) => {
    const times = [];
    for (const { statements } of runs)
      times.push(
        await timed(async () => {
          for (const { text, values } of statements) await client.query(text, values);
        }),
      );
    return times;
  });

const signatures = async () => {
  const { prepareDatabase } = await import("../../apps/api/dist/database/prepare-database.js");
  const { loadOrCreateSecrets } = await import("../../apps/api/dist/database/secrets.js");
  const dataDir = mkdtempSync(join(tmpdir(), "heelward-bench-"));
  const secrets = loadOrCreateSecrets(dataDir);
  const database = await prepareDatabase({ dataDir, secrets, log: () => undefined });
  try {
    const horses = await withClient(database.ownerUrl, seed);
    const settings = { appUrl: database.appUrl, dataDir, secrets };
    const drafting = await startApi(settings);
    const send = await caller(drafting.url);
    const drafts = [];
    const startOn = new Date(Date.now() + 2 * DAY).toISOString().slice(0, 10);
    for (const horse of horses)
      drafts.push(
        await send(`/horses/${horse}/courses`, {
          drugKey: "phenylbutazone",
          presentationKey: "phenylbutazone-powder-1g",
          route: "oral",
          startOn,
          steps: [
            { fromDay: 1, toDay: 5, doseMg: 1000, timesLocal: ["10:00", "22:00"], everyDays: 1 },
          ],
        }),
      );
    await stopApi(drafting);
    const copy = "heelward_before_signing";
    const source = new URL(database.ownerUrl).pathname.slice(1);
    await withClient(beside(database.ownerUrl, "postgres"), (client) =>
      client.query(`CREATE DATABASE ${copy} TEMPLATE ${source}`),
    );
    const signing = await startApi(settings);
    const runs = await signAll(signing, drafts);
    await stopApi(signing);
    const bare = (await replayAll(beside(database.appUrl, copy), runs)).slice(warmUp);
    const api = runs.map(({ ms }) => ms).slice(warmUp);
    const statements = runs.at(-1)?.statements ?? [];
    console.log(
      `A signed course, one after the other (${api.length} courses, ${statements.length} statements each)`,
    );
    show("request to the service", api);
    show("same statements, driver alone", bare);
    console.log(
      `  ratio of medians ${(quantile(api, 0.5) / quantile(bare, 0.5)).toFixed(2)}; ${statements.some(({ text }) => /^\s*BEGIN/iu.test(text)) ? "each replay is one transaction" : "no transaction was noted"}`,
    );
  } finally {
    await database.stop();
    rmSync(dataDir, { recursive: true, force: true });
  }
};

const MODEL = fileURLToPath(
  new URL("../../packages/domain/bench/ledger-model.ts", import.meta.url),
);
const histories = 50_000;

/** Random histories, shared out over the processors; a disagreement is printed with its history. */
const agreement = async () => {
  const shares = availableParallelism();
  const each = Math.ceil(histories / shares);
  const run = promisify(execFile);
  const from = performance.now();
  const answers = await Promise.all(
    Array.from({ length: shares }, (_, index) =>
      run(process.execPath, [MODEL, String(each), String(1 + index * each)]).then(
        ({ stdout }) => JSON.parse(stdout),
        ({ stdout }) => {
          console.log(stdout);
          return { histories: 0, decisions: 0, allowed: 0, refused: 0 };
        },
      ),
    ),
  );
  const sum = (name) => answers.reduce((total, one) => total + one[name], 0);
  const broken = answers.filter((one) => one.histories === 0).length;
  console.log(
    `Dose rules against a plain minute-by-minute reading: ${sum("histories")} random histories, ${sum("decisions")} decisions (${sum("allowed")} allowed, ${sum("refused")} refused), ${broken === 0 ? "not one" : `at least ${broken}`} decided otherwise, ${((performance.now() - from) / 1000).toFixed(0)} s`,
  );
};

/** Prints how the dose rules agree with a second reading, their times and those of signing. */
export const medicineTimes = async () => {
  await agreement();
  await decisions();
  await signatures();
};
