// How the queue and a case file of one practice answer while others join: median of calls one after
// the other, at 1,000, 100,000 and 1,000,000 cases in all.
import { signIn, startProcess, stopProcess, withDemo } from "./demo-service.mjs";
import { fillPractices } from "./fill-practices.mjs";

const calls = 200;
const warmUp = 30;
const quantile = (numbers, share) =>
  numbers.toSorted((a, b) => a - b)[Math.floor((numbers.length - 1) * share)];

/** Milliseconds of each call, in turns so that a slow moment of the machine falls on all paths. */
const timesOf = async (url, headers, paths) => {
  const times = new Map(paths.map((path) => [path, []]));
  for (let call = 0; call < warmUp + calls; call += 1)
    for (const path of paths) {
      const from = performance.now();
      const answer = await fetch(`${url}${path}`, { headers });
      await answer.arrayBuffer();
      if (!answer.ok) throw new Error(`${path} answered ${answer.status}`);
      if (call >= warmUp) times.get(path).push(performance.now() - from);
    }
  return times;
};

/** Other sizes: `GROWTH_CASES=1000,10000 npm run bench -- growth`. */
export const growth = () =>
  withDemo(async ({ database, dataDir, secrets, signIns }) => {
    const sizes = (process.env.GROWTH_CASES ?? "1000,100000,1000000").split(",").map(Number);
    const person = signIns.find(({ role }) => role === "vet") ?? signIns[0];
    console.log(`Growth: one practice among others, ${calls} calls one after the other`);
    const first = new Map();
    for (const size of sizes) {
      const cases = await fillPractices(database.ownerUrl, size);
      // Fresh connections, so that no plan of the smaller size is kept.
      const api = await startProcess("./api-process.mjs", {
        BENCH_API: JSON.stringify({ appUrl: database.appUrl, dataDir, secrets }),
      });
      const headers = { authorization: `Bearer ${await signIn(api.url, person)}` };
      const list = await (await fetch(`${api.url}/api/v1/cases`, { headers })).json();
      const paths = {
        queue: "/api/v1/queue",
        "case file": `/api/v1/cases/${list.items[0].id}/file`,
      };
      const times = await timesOf(api.url, headers, Object.values(paths));
      for (const [name, path] of Object.entries(paths)) {
        const p50 = quantile(times.get(path), 0.5);
        if (!first.has(name)) first.set(name, p50);
        console.log(
          `  ${String(cases).padStart(9)} cases  ${name.padEnd(10)} p50 ${p50.toFixed(1).padStart(7)} ms   p99 ${quantile(times.get(path), 0.99).toFixed(1).padStart(7)} ms   ${(p50 / first.get(name)).toFixed(2)} × the first`,
        );
      }
      await stopProcess(api.child);
    }
  });
