// What a browser's own audit says of the pages people open most, on a desktop and on a slow phone.
import { loadavg } from "node:os";
import lighthouse, { desktopConfig } from "lighthouse";
import { withDemoDashboard } from "./demo-service.mjs";
import { isBrowserHere, signInThere, withBrowser } from "./own-browser.mjs";

const categories = ["performance", "accessibility", "best-practices"];

/** A single run swings with whatever else the machine does; the middle one of three counts. */
const runs = 3;

const paints = ["first-contentful-paint", "largest-contentful-paint", "total-blocking-time"];

const faultsOf = (lhr) =>
  categories
    .slice(1)
    .flatMap((one) => lhr.categories[one].auditRefs)
    .flatMap(({ id, weight }) => {
      const { score, title, details } = lhr.audits[id];
      if (weight === 0 || score === null || score === 1) return [];
      const first = details?.items?.[0];
      return [`${id}: ${title} ${first?.node?.snippet ?? first?.description ?? ""}`.slice(0, 240)];
    });

const audit = async (name, url, port) => {
  for (const [device, config] of [
    ["desktop", desktopConfig],
    ["mobile", undefined],
  ]) {
    const flags = {
      port,
      output: "json",
      logLevel: "error",
      // Stays signed in; everything else is fetched as on the first visit.
      clearStorageTypes: ["cache_storage", "service_workers", "shader_cache"],
      onlyCategories: categories,
    };
    const all = [];
    for (let run = 0; run < runs; run += 1) all.push((await lighthouse(url, flags, config)).lhr);
    const speed = ({ categories: { performance } }) => performance.score;
    const lhr = all.toSorted((a, b) => speed(a) - speed(b))[Math.floor(runs / 2)];
    const score = (one) => String(Math.round(lhr.categories[one].score * 100)).padStart(3);
    const [first, largest, blocked] = paints.map((one) => Math.round(lhr.audits[one].numericValue));
    console.log(
      `  ${name.padEnd(8)} ${device.padEnd(8)} ${categories.map((one) => `${one} ${score(one)}`).join("   ")}   first paint ${first}, largest ${largest}, blocked ${blocked} ms, shift ${lhr.audits["cumulative-layout-shift"].numericValue.toFixed(3)}, load ${loadavg()[0].toFixed(1)}`,
    );
    for (const fault of faultsOf(lhr)) console.log(`      ${fault}`);
  }
};

const measure = async (url, signIns) => {
  const of = (role) => signIns.find((one) => one.role === role);
  await withBrowser(async (context, port) => {
    console.log(
      "Pages, audited in Chromium (0 to 100, the middle one of three; times as the audit simulates them)",
    );
    await audit("sign-in", `${url}/sign-in`, port);
    const page = await signInThere(context, url, of("vet"));
    await audit("queue", url, port);
    await page.goto(`${url}/cases`);
    const link = page.locator('main a[href^="/cases/"]').first();
    await link.waitFor();
    await audit("case", url + (await link.getAttribute("href")), port);
  });
  await withBrowser(async (context, port) => {
    const page = await signInThere(context, url, of("owner"));
    await page.goto(`${url}/portal`);
    const link = page.locator('main a[href^="/portal/"]').first();
    await link.waitFor();
    await audit("portal", url + (await link.getAttribute("href")), port);
  });
};

/** Prints the scores and times on the demo practice, in a database of its own. */
export const pageScores = async () => {
  if (!isBrowserHere("pages")) return;
  await withDemoDashboard(async (url, signIns) => {
    await measure(url, signIns);
  });
};
