// What a phone with a slow line waits for: the first-aid sheet that is sent during the call, opened
// without sign-in, beside a bare page of the same server; and the time the service takes to save a call.
import { randomUUID } from "node:crypto";
import { chromium } from "playwright-core";
import { signIn, withDemoDashboard } from "./demo-service.mjs";

const repeats = 7;
/** "Slow 4G" of the web-performance community: 1.6 Mbit/s, 150 ms round trip, a processor four times slower. */
const line = { latency: 150, downloadThroughput: 200_000, uploadThroughput: 94_000 };
const processorTimesSlower = 4;

const median = (numbers) => numbers.toSorted((a, b) => a - b)[Math.floor(numbers.length / 2)];
const show = (label, times) =>
  console.log(
    `  ${label.padEnd(52)} median ${median(times).toFixed(0).padStart(6)} ms   slowest ${Math.max(...times).toFixed(0)} ms`,
  );

/** A phone of its own, nothing kept from before, until the words can be read. */
const opens = async (browser, url, words) => {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 } });
  const page = await context.newPage();
  const session = await context.newCDPSession(page);
  await session.send("Network.enable");
  await session.send("Network.emulateNetworkConditions", { offline: false, ...line });
  await session.send("Emulation.setCPUThrottlingRate", { rate: processorTimesSlower });
  const from = performance.now();
  await page.goto(url, { waitUntil: "commit" });
  await page.getByText(words).first().waitFor();
  const ms = performance.now() - from;
  await context.close();
  return ms;
};

const measure = async (url, headers) => {
  const ask = async (method, path, body) => {
    const answer = await fetch(`${url}/api/v1${path}`, {
      method,
      headers: {
        ...headers,
        ...(body === undefined
          ? {}
          : { "content-type": "application/json", "idempotency-key": randomUUID() }),
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    if (!answer.ok) throw new Error(`${path} answered ${answer.status}: ${await answer.text()}`);
    return answer.json();
  };
  const horses = (await ask("GET", "/horses?limit=50")).items.filter(
    (horse) => horse.status === "active",
  );
  const call = (horse) => ({
    horseId: horse.id,
    caller: "Somebody of the yard",
    calledAt: new Date().toISOString(),
    answers: { canStand: true, shiftsWeight: true, feetWarm: true },
    feetAffected: ["LF", "RF"],
  });
  const saved = [];
  let sheet;
  for (const horse of horses.slice(0, repeats)) {
    const from = performance.now();
    const taken = await ask("POST", "/phone-calls", call(horse));
    saved.push(performance.now() - from);
    sheet ??= await ask("POST", `/cases/${taken.case.id}/first-aid-sheets`, {
      feetAffected: ["LF", "RF"],
      canLiftFeet: "easily",
      foamAvailable: false,
      padsAvailable: true,
      outside: false,
    });
  }
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM_PATH ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--no-first-run", "--disable-background-networking"],
  });
  try {
    const [opened, bare] = [[], []];
    // In turns, so that a slow minute of the machine falls on both.
    for (let round = 0; round < repeats; round += 1) {
      opened.push(await opens(browser, `${url}${sheet.link}`, "right up to the door"));
      bare.push(await opens(browser, `${url}/healthz`, "alive"));
    }
    console.log("A call, and the sheet on a phone (slow 4G, processor ÷ 4, nothing kept)");
    show("the service saves a call", saved);
    show("the first-aid sheet can be read", opened);
    show("a bare answer of the same server", bare);
    console.log(`  ratio ${(median(opened) / median(bare)).toFixed(2)}`);
  } finally {
    await browser.close();
  }
};

/** Prints the times on the demo practice, in a database of its own. */
export const phoneTimes = () =>
  withDemoDashboard(async (url, signIns) => {
    const person = signIns.find(({ role }) => role === "vet");
    await measure(url, { authorization: `Bearer ${await signIn(url, person)}` });
  });
