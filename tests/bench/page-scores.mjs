// What a browser's own audit says of the pages people open most, on a desktop and on a slow phone; and
// how long a queue of 500 items takes to open and to filter, beside an empty loop of the same page.
import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import lighthouse, { desktopConfig } from "lighthouse";
import { chromium } from "playwright-core";
import { root } from "../../apps/api/bin/build.mjs";
import { startProcess, stopProcess, withDemo } from "./demo-service.mjs";
import { freePort } from "./free-port.mjs";

const executablePath = process.env.CHROMIUM_PATH ?? "/usr/bin/chromium";
const categories = ["performance", "accessibility", "best-practices"];
const items = 500;
const repeats = 21;

const median = (numbers) => numbers.toSorted((a, b) => a - b)[Math.floor(numbers.length / 2)];

/** A browser with a profile of its own that both the audit and the sign-in use. */
const withBrowser = async (use) => {
  const profile = mkdtempSync(join(tmpdir(), "heelward-browser-"));
  const port = await freePort();
  const context = await chromium.launchPersistentContext(profile, {
    executablePath,
    viewport: { width: 1440, height: 1000 },
    args: [
      "--no-sandbox",
      "--no-first-run",
      "--disable-background-networking",
      `--remote-debugging-port=${port}`,
    ],
  });
  try {
    await use(context, port);
  } finally {
    await context.close();
    rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
  }
};

const signIn = async (context, url, person) => {
  const page = await context.newPage();
  await page.goto(url);
  await page.getByLabel("E-mail").fill(person.email);
  await page.getByLabel("Password").fill(person.password);
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.getByLabel("Password").waitFor({ state: "detached" });
  return page;
};

const audit = async (name, url, port) => {
  for (const [device, config] of [
    ["desktop", desktopConfig],
    ["mobile", undefined],
  ]) {
    const flags = {
      port,
      output: "json",
      logLevel: "error",
      disableStorageReset: true,
      onlyCategories: categories,
    };
    const { lhr } = await lighthouse(url, flags, config);
    const scores = categories.map(
      (one) => `${one} ${String(Math.round(lhr.categories[one].score * 100)).padStart(3)}`,
    );
    const paints = [
      "first-contentful-paint",
      "largest-contentful-paint",
      "total-blocking-time",
    ].map((one) => Math.round(lhr.audits[one].numericValue));
    console.log(
      `  ${name.padEnd(8)} ${device.padEnd(8)} ${scores.join("   ")}   first paint ${paints[0]}, largest ${paints[1]}, blocked ${paints[2]} ms, shift ${lhr.audits["cumulative-layout-shift"].numericValue.toFixed(3)}`,
    );
    const refs = categories.slice(1).flatMap((one) => lhr.categories[one].auditRefs);
    for (const { id, weight } of refs) {
      const { score, title, details } = lhr.audits[id];
      if (weight === 0 || score === null || score === 1) continue;
      const first = details?.items?.[0];
      console.log(
        `      ${id}: ${title} ${first?.node?.snippet ?? first?.description ?? ""}`.slice(0, 240),
      );
    }
  }
};

/** Runs in the page: times one change from the press to the frame that shows it. */
const timeChanges = async (change, repeats) => {
  const shown = () =>
    new Promise((resolve) => {
      requestAnimationFrame(() => {
        // After the frame's work, not before it.
        const channel = new MessageChannel();
        channel.port1.addEventListener("message", resolve, { once: true });
        channel.port1.start();
        channel.port2.postMessage(undefined);
      });
    });
  const times = [];
  for (let round = 0; round < repeats; round += 1) {
    await shown();
    const from = performance.now();
    const isThere = change(round);
    do await shown();
    while (!isThere());
    times.push(performance.now() - from);
  }
  return times;
};

const timed = (page, change) =>
  page.evaluate(`(${String(timeChanges)})(${String(change)}, ${repeats})`);

// Each change answers how to see that it is there.
const nothing = () => () => true;
const pressFilter = (round) => {
  const lines = () => document.querySelectorAll("main li").length;
  const before = lines();
  document.querySelectorAll("main [type=radio]")[round % 2 === 0 ? 1 : 0].click();
  return () => lines() !== before;
};
const typeWord = (round) => {
  const lines = () => document.querySelectorAll("main li").length;
  const before = lines();
  const field = document.querySelector("main input[type=search]");
  Reflect.set(HTMLInputElement.prototype, "value", round % 2 === 0 ? "17" : "", field);
  field.dispatchEvent(new Event("input", { bubbles: true }));
  return () => lines() !== before;
};

/** Runs in the page: times the queue from the press in the menu to its first lines and to its last. */
const timeOpening = (items) =>
  new Promise((resolve) => {
    const isQueue = () => document.querySelector("main input[type=search]") !== null;
    const lines = () => (isQueue() ? document.querySelectorAll("main li").length : 0);
    const from = performance.now();
    let firstMs;
    const look = () => {
      if (lines() > 0) firstMs ??= performance.now() - from;
      if (lines() >= items) resolve({ firstMs, allMs: performance.now() - from });
      else requestAnimationFrame(look);
    };
    document.querySelector('nav a[href="/"]').click();
    requestAnimationFrame(look);
  });

/** The service's own queue, repeated until it is long, each line with an id of its own. */
const lengthen = (queue) => {
  const urgencies = [...new Set(queue.items.map(({ urgency }) => urgency))];
  const long = Array.from({ length: items }, (_, at) => {
    const item = queue.items[at % queue.items.length];
    return { ...item, id: `${item.id} ${at}`, title: `${item.title} ${at}` };
  });
  return {
    ...queue,
    items: urgencies.flatMap((urgency) => long.filter((item) => item.urgency === urgency)),
  };
};

const longQueue = async (page, url) => {
  await page.route("**/api/v1/queue?*", async (route) => {
    const answer = await route.fetch();
    await route.fulfill({ response: answer, json: lengthen(await answer.json()) });
  });
  await page.goto(url);
  await page.getByText(`All ${items}`).waitFor();
  console.log(`A queue of ${items} items in Chromium, ${repeats} times each`);
  const show = (label, times) =>
    console.log(
      `  ${label.padEnd(46)} median ${median(times).toFixed(1).padStart(6)} ms   slowest ${Math.max(...times).toFixed(0)} ms`,
    );
  show("nothing (an empty loop)", await timed(page, nothing));
  show("a filter is pressed, until it shows", await timed(page, pressFilter));
  show("a word is typed, until it shows", await timed(page, typeWord));
  const opened = [];
  for (let round = 0; round < repeats; round += 1) {
    await page.getByRole("link", { name: "Cases", exact: true }).first().click();
    await page.getByRole("heading", { level: 1, name: "Cases" }).waitFor();
    opened.push(await page.evaluate(`(${String(timeOpening)})(${items})`));
  }
  show(
    "opened from another page, a screen of it",
    opened.map(({ firstMs }) => firstMs),
  );
  show(
    "opened from another page, every line",
    opened.map(({ allMs }) => allMs),
  );
};

const measure = async (url, signIns) => {
  const of = (role) => signIns.find((one) => one.role === role);
  await withBrowser(async (context, port) => {
    console.log("Pages, audited in Chromium (0 to 100; times as the audit simulates them)");
    await audit("sign-in", `${url}/sign-in`, port);
    const page = await signIn(context, url, of("vet"));
    await audit("queue", url, port);
    await page.goto(`${url}/cases`);
    const link = page.locator('main a[href^="/cases/"]').first();
    await link.waitFor();
    await audit("case", url + (await link.getAttribute("href")), port);
    await longQueue(page, url);
  });
  await withBrowser(async (context, port) => {
    const page = await signIn(context, url, of("owner"));
    await page.goto(`${url}/portal`);
    const link = page.locator('main a[href^="/portal/"]').first();
    await link.waitFor();
    await audit("portal", url + (await link.getAttribute("href")), port);
  });
};

/** Prints the scores and times on the demo practice, in a database of its own. */
export const pageScores = async () => {
  if (!existsSync(executablePath)) {
    console.log("pages: there is no browser here");
    return;
  }
  await withDemo(async ({ database, dataDir, secrets, signIns }) => {
    const api = await startProcess("./api-process.mjs", {
      BENCH_API: JSON.stringify({
        appUrl: database.appUrl,
        dataDir,
        secrets,
        webDist: join(root, "apps/web/dist"),
      }),
    });
    try {
      await measure(api.url, signIns);
    } finally {
      await stopProcess(api.child);
    }
  });
};
