// How long from a red flag in the yard until the vet's queue shows it: the check is sent, its course is
// held, the live line tells the vet's screen, and the screen reads its queue again.
import { randomUUID } from "node:crypto";
import { signIn, startProcess, stopProcess, withDemo } from "./demo-service.mjs";

const rounds = 10;

const median = (numbers) => numbers.toSorted((a, b) => a - b)[Math.floor(numbers.length / 2)];
const show = (label, times) =>
  console.log(
    `  ${label.padEnd(52)} median ${median(times).toFixed(0).padStart(6)} ms   slowest ${Math.max(...times).toFixed(0)} ms`,
  );

/** Waits for the next notice that changes the queue. */
const nextNotice = async (reader) => {
  const decoder = new TextDecoder();
  for (let text = ""; ;) {
    const { value, done } = await reader.read();
    if (done) throw new Error("The live line ended.");
    text += decoder.decode(value, { stream: true });
    if (/event: change\ndata: .*"queue"/u.test(text)) return;
  }
};

const measure = async (url, vet, yard) => {
  const ask = async (token, method, path, body) => {
    const answer = await fetch(`${url}/api/v1${path}`, {
      method,
      headers: {
        authorization: `Bearer ${token}`,
        ...(body === undefined
          ? {}
          : { "content-type": "application/json", "idempotency-key": randomUUID() }),
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    if (!answer.ok) throw new Error(`${path} answered ${answer.status}: ${await answer.text()}`);
    return answer.json();
  };
  const horses = (await ask(yard, "GET", "/horses?limit=50&status=active")).items.filter(
    (horse) => horse.openCaseId !== null,
  );
  if (horses.length === 0) throw new Error("The yard has no horse with a case.");
  const stream = await fetch(`${url}/api/v1/events`, {
    headers: { authorization: `Bearer ${vet}` },
  });
  const reader = stream.body.getReader();
  const [told, shown, plain] = [[], [], []];
  for (let round = 0; round < rounds; round += 1) {
    const horse = horses[round % horses.length];
    const from = performance.now();
    const notice = nextNotice(reader);
    await ask(yard, "POST", `/horses/${horse.id}/care-checks`, {
      signs: ["colic"],
      examinedAt: new Date().toISOString(),
    });
    await notice;
    told.push(performance.now() - from);
    const { items } = await ask(vet, "GET", "/queue?role=vet");
    shown.push(performance.now() - from);
    if (!items.some((item) => item.kind === "red flag call" && item.horse.id === horse.id))
      throw new Error("The vet's queue does not show the red flag.");
    const before = performance.now();
    await ask(vet, "GET", "/queue?role=vet");
    plain.push(performance.now() - before);
  }
  await reader.cancel();
  console.log("A red flag in the yard, until the vet sees it");
  show("the vet's screen is told", told);
  show("the vet's queue shows it", shown);
  show("reading the queue alone", plain);
  console.log(`  ratio ${(median(shown) / median(plain)).toFixed(2)}`);
};

/** Prints the times on the demo practice, in a database of its own. */
export const flagTimes = () =>
  withDemo(async ({ database, dataDir, secrets, signIns }) => {
    const api = await startProcess("./api-process.mjs", {
      BENCH_API: JSON.stringify({ appUrl: database.appUrl, dataDir, secrets }),
    });
    const as = (wanted) =>
      signIn(
        api.url,
        signIns.find(({ role }) => role === wanted),
      );
    await measure(api.url, await as("vet"), await as("carer"));
    await stopProcess(api.child);
  });
