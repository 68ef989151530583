import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { violationsOf } from "../support/accessibility.ts";
import { launchBrowser } from "../support/browser.ts";
import { sitDown, startLiveService, type LiveService } from "../support/dashboard.ts";
import { PASSWORD } from "../support/service.ts";

/** One tablet in the yard, two carers with cold hands. */
const PIN = "7301";
let service: LiveService;
let browser: Browser;
let page: Page;

beforeAll(async () => {
  service = await startLiveService();
  const other = await service.personWith("carer", "Olga Other");
  await service.query(
    "INSERT INTO yard_people (practice_id, yard_id, person_id) VALUES ($1, $2, $3)",
    [service.practiceId, service.yardId, other.id],
  );
  await service.carer.send("put", "/session/pin", { pin: PIN });
  await other.send("put", "/session/pin", { pin: PIN });
  browser = await launchBrowser();
  const seat = await sitDown(browser, service, service.carer, { width: 820, height: 1180 });
  page = seat.page;
});
afterAll(async () => {
  await browser.close();
  await service.close();
});

const type = async (pin: string) => {
  for (const digit of pin)
    // One key after the other, as a finger does.
    // oxlint-disable-next-line no-await-in-loop
    await page.getByRole("button", { name: digit, exact: true }).click();
  await page.getByRole("button", { name: "Open", exact: true }).click();
};
const account = (name: string) => page.getByRole("button", { name: `Your account: ${name}` });

describe("a tablet that the yard shares", () => {
  it("is shared once by a person with a password, and names itself from then on", async () => {
    await page.goto("/devices");
    await page.getByLabel("What it is called").fill("Tablet in the feed room");
    await page.getByRole("button", { name: "Share this device" }).click();
    await page.getByText("This device is shared by Test Yard").waitFor();
    expect(await violationsOf(page)).toEqual([]);
  });

  it("asks the second person once for the PIN", async () => {
    await page.goto("/care");
    await page.getByRole("button", { name: "Hand over to" }).click();
    await page.getByRole("button", { name: /Olga Other/ }).click();
    await type(PIN);
    await account("Olga Other").waitFor();
    expect(await violationsOf(page)).toEqual([]);
  });

  it("goes on to a different person in two taps, on the same page, as that person", async () => {
    await page.getByRole("button", { name: "Hand over to" }).click();
    await page.getByRole("button", { name: /Cass Carer/ }).click();
    await type(PIN);
    await account("Cass Carer").waitFor();
    const taps: string[] = [];
    await page.exposeFunction("tapped", (what: string) => void taps.push(what));
    await page.evaluate(() =>
      document.addEventListener("click", (event) => {
        const target = event.target as HTMLElement;
        (globalThis as unknown as { tapped: (what: string) => void }).tapped(target.textContent);
      }),
    );
    await page.getByRole("button", { name: "Hand over to" }).click();
    await page.getByRole("button", { name: /Olga Other/ }).click();
    await account("Olga Other").waitFor();
    expect(taps).toHaveLength(2);
    expect(new URL(page.url()).pathname).toBe("/care");
  });

  it("says who may sit down when everybody is signed out, and still takes a password", async () => {
    await page.context().clearCookies({ name: /heelward_(access|refresh)/ });
    await page.goto("/sign-in");
    await page.getByRole("heading", { name: "Who is there?" }).waitFor();
    expect(await violationsOf(page)).toEqual([]);
    await page.getByLabel("E-mail").fill(service.vet.email);
    await page.getByLabel("Password").fill(PASSWORD);
    await page.getByRole("button", { name: "Sign in" }).click();
    await account("Vera Vet").waitFor();
  });
});
