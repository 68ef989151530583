// Requests per second of the reads people wait for, as a share of what the same statements reach
// through bare Fastify and the driver, measured in turns in the same run.
import { once } from "node:events";
import autocannon from "autocannon";
import { signIn, startProcess, stopProcess, withDemo } from "./demo-service.mjs";

const connections = 20;
const warmUpSeconds = 2;
const seconds = 5;
const rounds = 3;

/** What is measured: a name and how to find the path once signed in. */
const reads = [
  { name: "queue", path: async () => "/api/v1/queue" },
  {
    name: "case file",
    path: async (get) => {
      const { items } = await get("/api/v1/cases");
      if (items.length === 0) throw new Error("The demo has no case to read.");
      return `/api/v1/cases/${items[0].id}/file`;
    },
  },
];

const cannon = async (url, headers, duration) => {
  const result = await autocannon({ url, headers, connections, duration });
  if (result.non2xx > 0 || result.errors > 0) {
    throw new Error(`${url}: ${result.non2xx} refusals, ${result.errors} errors`);
  }
  return { perSecond: result.requests.average, p99: result.latency.p99 };
};

const median = (numbers) => numbers.toSorted((a, b) => a - b)[Math.floor(numbers.length / 2)];

const measure = async (apiUrl, bareUrl, headers) => {
  await cannon(apiUrl, headers, warmUpSeconds);
  await cannon(bareUrl, {}, warmUpSeconds);
  const api = [];
  const bare = [];
  // In turns, so that a slow minute of the machine falls on both.
  for (let round = 0; round < rounds; round += 1) {
    api.push(await cannon(apiUrl, headers, seconds));
    bare.push(await cannon(bareUrl, {}, seconds));
  }
  const of = (list, key) => median(list.map((entry) => entry[key]));
  return {
    api: { perSecond: of(api, "perSecond"), p99: of(api, "p99") },
    bare: { perSecond: of(bare, "perSecond"), p99: of(bare, "p99") },
  };
};

const measureAll = async (database, dataDir, secrets, person) => {
  const api = await startProcess("./api-process.mjs", {
    BENCH_API: JSON.stringify({ appUrl: database.appUrl, dataDir, secrets }),
  });
  const headers = { authorization: `Bearer ${await signIn(api.url, person)}` };
  const get = async (path) => {
    const answer = await fetch(`${api.url}${path}`, { headers });
    if (!answer.ok) throw new Error(`${path} answered ${answer.status}: ${await answer.text()}`);
    return answer.json();
  };
  const routes = [];
  for (const { name, path } of reads) {
    const found = await path(get);
    await get(found);
    api.child.send("note");
    await get(found);
    api.child.send("tell");
    const [{ statements }] = await once(api.child, "message");
    routes.push({ name, path: found, statements });
  }
  const bare = await startProcess("./bare-process.mjs", {
    BENCH_BARE: JSON.stringify({ appUrl: database.appUrl, routes }),
  });
  console.log(
    `Reads as ${person.role}, ${connections} connections, median of ${rounds} × ${seconds} s (p99 in ms)`,
  );
  for (const { name, path, statements } of routes) {
    const figures = await measure(`${api.url}${path}`, `${bare.url}${path}`, headers);
    const show = ({ perSecond, p99 }) => `${perSecond.toFixed(0).padStart(6)}/s (${p99})`;
    const ratio = (figures.api.perSecond / figures.bare.perSecond).toFixed(2);
    console.log(
      `  ${name.padEnd(12)} api ${show(figures.api)}   bare ${show(figures.bare)}   ratio ${ratio}   ${statements.length} statements`,
    );
  }
  await stopProcess(bare.child);
  await stopProcess(api.child);
};

/** Prints request rates on the demo practice, in a database of its own. */
export const requestRates = () =>
  withDemo(async ({ database, dataDir, secrets, signIns }) => {
    const person = signIns.find(({ role }) => role === "vet") ?? signIns[0];
    await measureAll(database, dataDir, secrets, person);
  });
