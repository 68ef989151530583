// How long a queue of 500 items takes to open and to filter, beside 500 bare rows on the same page.
import { withDemoDashboard } from "./demo-service.mjs";
import { isBrowserHere, signInThere, withBrowser } from "./own-browser.mjs";

const items = 500;
const repeats = 21;

const median = (numbers) => numbers.toSorted((a, b) => a - b)[Math.floor(numbers.length / 2)];

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

/** Runs in the page: shows as many rows as the queue has, as plain text put there at once and no more. */
const bareRows = (round) => {
  const list = document.querySelector("#bare") ?? document.createElement("ul");
  list.id = "bare";
  document.body.append(list);
  const rows = 500;
  list.innerHTML = Array.from(
    { length: rows },
    (_, at) =>
      `<li><p><a href="#">Horse ${at}</a> <b>What is to do ${round}</b></p><p>Why it stands here</p><p>A yard, by noon</p><button>See to it</button></li>`,
  ).join("");
  return () => true;
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
  const bare = await timed(page, bareRows);
  show(`reference: ${items} bare rows put there at once`, bare);
  await page.evaluate(() => document.querySelector("#bare").remove());
  const pressed = await timed(page, pressFilter);
  show("a filter is pressed, until it shows", pressed);
  const typed = await timed(page, typeWord);
  show("a word is typed, until it shows", typed);
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
  const ratio = (times) => (median(times) / median(bare)).toFixed(1);
  console.log(
    `  against the bare rows: pressed ${ratio(pressed)} ×, typed ${ratio(typed)} ×, opened ${ratio(opened.map(({ firstMs }) => firstMs))} ×`,
  );
};

/** Prints the times on the demo practice, in a database of its own. */
export const queueTimes = async () => {
  if (!isBrowserHere("queue")) return;
  await withDemoDashboard(async (url, signIns) => {
    const vet = signIns.find(({ role }) => role === "vet");
    await withBrowser(async (context) => longQueue(await signInThere(context, url, vet), url));
  });
};
