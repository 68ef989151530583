import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { launchBrowser } from "../support/browser.ts";
import { deedsOn, secondsOf, watchDeeds } from "../support/keystroke-level.ts";
import { sitDown, startLiveService, type LiveService, type Seat } from "../support/dashboard.ts";

let service: LiveService;
let browser: Browser;
let carer: Seat;
beforeAll(async () => {
  service = await startLiveService();
  browser = await launchBrowser();
  carer = await sitDown(browser, service, service.carer, { width: 390, height: 844 });
  await watchDeeds(carer.page);
});
afterAll(async () => {
  await browser.close();
  await service.close();
});

describe("the daily check of the five signs", () => {
  it("is chosen by pictures, one press a sign, and takes a person under 60 seconds from the opened page to the kept score", async () => {
    const { page, go } = carer;
    await go(`/care/${service.horseId}/check`);
    const signs = page.getByRole("group").filter({ has: page.locator("svg") });
    await expect.poll(() => signs.count()).toBe(5);
    for (const sign of await signs.all()) {
      const pictures = sign.locator("label").filter({ has: page.locator("svg") });
      // oxlint-disable-next-line no-await-in-loop
      expect(await pictures.count()).toBeGreaterThanOrEqual(3);
      // oxlint-disable-next-line no-await-in-loop
      await pictures.nth(1).click();
    }
    const deeds = await deedsOn(page);
    await page.getByRole("button", { name: "Save the check" }).click();
    await expect
      .poll(async () =>
        (await service.query("SELECT five_sign_score AS score FROM examinations")).map(
          (row) => row["score"],
        ),
      )
      .toEqual([5]);
    expect(deeds).toMatchObject({ keys: 0, presses: 5 });
    expect(secondsOf({ ...deeds, presses: deeds.presses + 1 })).toBeLessThan(60);
  });
});
