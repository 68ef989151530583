import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { launchBrowser } from "../support/browser.ts";
import { deedsOn, secondsOf, watchDeeds } from "../support/keystroke-level.ts";
import {
  answer,
  sitDown,
  startLiveService,
  type LiveService,
  type Seat,
} from "../support/dashboard.ts";

let service: LiveService;
let browser: Browser;
let manager: Seat;
beforeAll(async () => {
  service = await startLiveService();
  browser = await launchBrowser();
  manager = await sitDown(browser, service, service.manager);
  await watchDeeds(manager.page);
});
afterAll(async () => {
  await browser.close();
  await service.close();
});

/** The whole call, every question answered, typed key by key. */
const takeCall = async (page: Page, canRise: string) => {
  await page.getByText(canRise).click();
  await page.getByRole("combobox").pressSequentially("Test H");
  await page.getByRole("option", { name: /Test Horse/ }).click();
  await page.getByLabel("Who rings").pressSequentially("Cass Carer");
  await answer(page, "Does it shift its weight from foot to foot?", "Yes");
  await answer(page, "Are the feet warm?", "Yes");
  await page.getByText("Left fore", { exact: true }).click();
  await page.getByText("Right fore", { exact: true }).click();
};

describe("the first call", () => {
  it("of a horse that cannot get up says vet now as the first thing on the page", async () => {
    const { page, go } = manager;
    await go("/phone-call");
    await page.getByText("No, it cannot get up").click();
    const alarm = await page.getByRole("alert").getByText("Vet now").boundingBox();
    const fields = await page
      .getByRole("main")
      .locator("input:not([type=radio]), textarea, select")
      .all();
    expect(fields.length).toBeGreaterThan(0);
    for (const field of fields) {
      const box = await field.boundingBox();
      if (box !== null) expect(alarm?.y ?? Number.POSITIVE_INFINITY).toBeLessThan(box.y);
    }
  });

  it("is stamped with its time and saved, by keystrokes counted, in under 90 seconds of a person's time", async () => {
    const { page, go } = manager;
    await go("/phone-call");
    const from = Date.now();
    await takeCall(page, "Yes, it can");
    await page.getByText("Vet today").waitFor();
    // The form goes when the call is saved; what was done on it is counted until the last press.
    const deeds = await deedsOn(page);
    await page.getByRole("button", { name: "Record the call" }).click();
    await page.getByRole("link", { name: "Write the first-aid sheet" }).waitFor();
    expect(deeds.keys).toBeGreaterThan(10);
    expect(secondsOf({ ...deeds, presses: deeds.presses + 1 })).toBeLessThan(90);
    const [call] = await service.query("SELECT called_at AS at FROM phone_calls");
    const calledAt = call?.["at"] as Date;
    expect(calledAt.getTime()).toBeGreaterThanOrEqual(from - 60_000);
    expect(calledAt.getTime()).toBeLessThanOrEqual(Date.now());
  });

  it("gives a sheet that a phone without scripts reads and prints on one A4", async () => {
    const { page } = manager;
    await page.getByRole("link", { name: "Write the first-aid sheet" }).click();
    await answer(page, /Can a front foot be lifted/, "Easily");
    await page.getByLabel("Pads or cotton wool and tape are there").check();
    await page.getByRole("button", { name: "Write the sheet" }).click();
    const link = await page.getByLabel(/Anyone with this link/).inputValue();
    const context = await browser.newContext({
      viewport: { width: 390, height: 844 },
      javaScriptEnabled: false,
    });
    const phone = await context.newPage();
    const asked: string[] = [];
    phone.on("request", (request) => asked.push(new URL(request.url()).pathname));
    await phone.goto(link);
    await phone.getByText("right up to the door").first().waitFor();
    expect(asked, "one request, nothing else to wait for").toEqual([new URL(link).pathname]);
    const step = phone.getByRole("listitem").first();
    // The page's one style sheet is let through by its own policy.
    expect(await step.evaluate((item) => getComputedStyle(item).borderTopWidth)).toBe("1px");
    const wide = await phone.evaluate(() => document.documentElement.scrollWidth);
    expect(wide).toBeLessThanOrEqual(390);
    const pdf = await phone.pdf({ format: "A4" });
    expect(pdf.toString("latin1").match(/\/Type\s*\/Page\b/g)).toHaveLength(1);
    await context.close();
  });
});
