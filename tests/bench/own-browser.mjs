// A browser with a profile of its own, and a person of the demo signed in to it.
import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { freePort } from "./free-port.mjs";

const executablePath = process.env.CHROMIUM_PATH ?? "/usr/bin/chromium";

/** Says so and answers false where there is no browser to measure in. */
export const isBrowserHere = (part) => {
  if (existsSync(executablePath)) return true;
  console.log(`${part}: there is no browser here`);
  return false;
};

/** A browser with a profile of its own that both an audit and the sign-in use. */
export const withBrowser = async (use) => {
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

/** Signs the person in through the page, and gives the page. */
export const signInThere = async (context, url, person) => {
  const page = await context.newPage();
  await page.goto(url);
  await page.getByLabel("E-mail").fill(person.email);
  await page.getByLabel("Password").fill(person.password);
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.getByLabel("Password").waitFor({ state: "detached" });
  return page;
};
