// Two processes against one, memory under a long load, and a thousand live lines.
import autocannon from "autocannon";
import { randomUUID } from "node:crypto";
import { readFileSync } from "node:fs";
import { signIn, startProcess, stopProcess, withDemo } from "./demo-service.mjs";

const connections = 20;
const queueSeconds = 10;
const path = "/api/v1/queue";

const withApis = (count, use) =>
  withDemo(async ({ database, dataDir, secrets, signIns }) => {
    const apis = [];
    for (let number = 0; number < count; number += 1)
      apis.push(
        await startProcess("./api-process.mjs", {
          BENCH_API: JSON.stringify({ appUrl: database.appUrl, dataDir, secrets }),
        }),
      );
    const person = signIns.find(({ role }) => role === "vet") ?? signIns[0];
    const headers = { authorization: `Bearer ${await signIn(apis[0].url, person)}` };
    try {
      await use(apis, headers);
    } finally {
      for (const { child } of apis) await stopProcess(child);
    }
  });
const fire = async (url, headers, many, duration) => {
  const { requests, non2xx, errors } = await autocannon({
    url: `${url}${path}`,
    headers,
    connections: many,
    duration,
  });
  if (non2xx + errors > 0) throw new Error(`${non2xx} refusals, ${errors} errors`);
  return requests.average;
};

/** The queue's rate through one process, and shared between two behind the same database. */
export const processes = () =>
  withApis(2, async ([first, second], headers) => {
    await fire(first.url, headers, connections, 2);
    await fire(second.url, headers, connections, 2);
    const one = await fire(first.url, headers, connections, queueSeconds);
    const [left, right] = await Promise.all(
      [first, second].map(({ url }) => fire(url, headers, connections / 2, queueSeconds)),
    );
    console.log(`Two processes against one, queue, ${connections} connections`);
    console.log(
      `  one ${one.toFixed(0)}/s   two ${(left + right).toFixed(0)}/s   ${((left + right) / one).toFixed(2)} ×`,
    );
  });

const residentMb = ({ child }) =>
  Number(/^VmRSS:\s+(\d+)/mu.exec(readFileSync(`/proc/${child.pid}/status`, "utf8"))[1]) / 1024;

/** Resident memory under steady load. Another length: `SOAK_SECONDS=60 npm run bench -- soak`. */
export const soak = () =>
  withApis(1, async ([api], headers) => {
    const seconds = Number(process.env.SOAK_SECONDS ?? "600");
    console.log(`Memory over ${seconds} s of the queue, ${connections} connections`);
    const steps = 10;
    for (let step = 1; step <= steps; step += 1) {
      const rate = await fire(api.url, headers, connections, Math.max(1, seconds / steps));
      console.log(
        `  after ${String(Math.round((step * seconds) / steps)).padStart(4)} s   ${residentMb(api).toFixed(0)} MB   ${rate.toFixed(0)}/s`,
      );
    }
  });

/** Live lines that hear one change. Another number: `LIVE_LINES=100 npm run bench -- live`. */
export const live = () =>
  withApis(1, async ([api], headers) => {
    const lines = Number(process.env.LIVE_LINES ?? "1000");
    const before = residentMb(api);
    const stopping = new AbortController();
    const readers = await Promise.all(
      Array.from({ length: lines }, async () => {
        const { body } = await fetch(`${api.url}/api/v1/events`, {
          headers,
          signal: stopping.signal,
        });
        return body.getReader();
      }),
    );
    const heard = readers.map(async (reader) => {
      const decoder = new TextDecoder();
      for (let text = ""; !text.includes("event: change");) {
        const { value, done } = await reader.read();
        if (done) throw new Error("A live line ended.");
        text += decoder.decode(value, { stream: true });
      }
      return performance.now();
    });
    const { items } = await (await fetch(`${api.url}/api/v1/horses`, { headers })).json();
    const from = performance.now();
    const answer = await fetch(`${api.url}/api/v1/handoff-notes`, {
      method: "POST",
      headers: { ...headers, "content-type": "application/json", "idempotency-key": randomUUID() },
      body: JSON.stringify({
        horseId: items[0].id,
        toRole: "farrier",
        situation: "For all to hear.",
        mustDo: "Ring me.",
      }),
    });
    if (!answer.ok) throw new Error(`the note answered ${answer.status}: ${await answer.text()}`);
    const written = performance.now();
    const times = (await Promise.all(heard)).map((at) => at - from).toSorted((a, b) => a - b);
    console.log(
      `${lines} live lines hear of one note (written in ${(written - from).toFixed(0)} ms)`,
    );
    console.log(
      `  median ${times[Math.floor(lines / 2)].toFixed(0)} ms   slowest ${times.at(-1).toFixed(0)} ms   memory ${before.toFixed(0)} → ${residentMb(api).toFixed(0)} MB`,
    );
    stopping.abort();
  });
