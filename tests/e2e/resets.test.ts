import { DateTime } from "luxon";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { connect, type Database } from "../../apps/api/src/database/client.ts";
import { dispatchOutbox } from "../../apps/api/src/mail/dispatch-outbox.ts";
import { smtpMailer } from "../../apps/api/src/mail/mailer.ts";
import { wcagFaultsOf } from "../support/accessibility.ts";
import { SENDER, startBackground, type Background } from "../support/background.ts";
import { launchBrowser } from "../support/browser.ts";
import { sitDown, startLiveService, type LiveService, type Seat } from "../support/dashboard.ts";
import { startMailServer, type TestMailServer } from "../support/mail-server.ts";
import { TEST_MAIL } from "../support/service.ts";

/** From the overdue horse on the manager's board to the yard that is told: three people, three screens. */
let service: LiveService;
let background: Background;
let post: TestMailServer;
let db: Database;
let browser: Browser;
let manager: Seat;
let farrier: Seat;

/** A zone in which it is about ten in the morning, so that the day is never over when this runs. */
const zoneOfMorning = (): string => {
  const ahead = 10 - DateTime.utc().hour;
  // The names of these zones count the other way round: Etc/GMT-3 is three hours ahead.
  return ahead === 0 ? "Etc/GMT" : `Etc/GMT${ahead > 0 ? "-" : "+"}${String(Math.abs(ahead))}`;
};
const ZONE = zoneOfMorning();
const today = DateTime.now().setZone(ZONE).startOf("day");
const clock = (hour: number): string => today.set({ hour }).toFormat("yyyy-MM-dd'T'HH:mm");

beforeAll(async () => {
  post = await startMailServer();
  service = await startLiveService();
  background = await startBackground(service);
  db = connect(service.appUrl, 5);
  await service.query("UPDATE practices SET time_zone = $1, lat = 53.27, lon = -9.05", [ZONE]);
  await service.query("UPDATE yards SET time_zone = $1", [ZONE]);
  const started = await service.manager.send("post", `/horses/${service.horseId}/resets`, {
    lastDoneOn: today.minus({ days: 35 }).toISODate(),
    intervalDays: 28,
    farrierId: service.farrier.id,
  });
  if (started.status !== 201) throw new Error(started.text);
  browser = await launchBrowser();
  manager = await sitDown(browser, service, service.manager);
  farrier = await sitDown(browser, service, service.farrier, { width: 390, height: 844 });
});
afterAll(async () => {
  await browser.close();
  await background.stop();
  await db.$disconnect();
  await service.close();
  await post.close();
});

const button = (page: Page, name: string | RegExp) => page.getByRole("button", { name });

describe("an overdue horse", () => {
  it("is found red on the manager's board, seven days late", async () => {
    const { page, go } = manager;
    await go("/resets?show=late");
    await page.getByRole("link", { name: "Test Horse" }).waitFor();
    await page.getByText("7 days late").first().waitFor();
  });

  it("shows on the farrier's day the moment the manager books it, without a reload", async () => {
    const line = farrier.page.waitForResponse((one) => one.url().endsWith("/api/v1/events"));
    await farrier.go("/routes");
    await line;
    await farrier.page.getByText("Nothing is booked for this day").waitFor();
    await farrier.page.evaluate(() => void Object.assign(globalThis, { isSamePage: true }));

    const { page } = manager;
    await button(page, "Book").click();
    const dialog = page.getByRole("dialog");
    await dialog.getByLabel("Day and time").fill(clock(12));
    await dialog.getByText(/With this visit the day holds|not a working day/).waitFor();
    await dialog.getByLabel("Reason").fill("Seven days late: first hour today");
    await dialog.getByRole("button", { name: "Book", exact: true }).click();
    await dialog.waitFor({ state: "detached" });

    await farrier.page.getByRole("main").getByText("Test Horse").first().waitFor();
    expect(await farrier.page.evaluate(() => "isSamePage" in globalThis)).toBe(true);
  });

  it("has its yard and owner told when the farrier runs late", async () => {
    const { page } = farrier;
    await button(page, "Running late").click();
    const dialog = page.getByRole("dialog");
    await dialog.getByLabel("Free to drive on at").fill(clock(15));
    await dialog.getByRole("button", { name: "Plan again and tell them" }).click();
    await dialog.getByText(/12:00 becomes 15:/).waitFor();
    await dialog.getByRole("button", { name: "Close" }).last().click();

    const carer = await sitDown(browser, service, service.carer);
    await carer.go("/handoffs");
    await carer.page
      .getByText(/running late: Test Horse now about 15:\d\d in place of 12:00/)
      .first()
      .waitFor();
    await carer.close();

    const mailer = smtpMailer(post.url, SENDER);
    try {
      await dispatchOutbox({ db, mailer, room: TEST_MAIL }, service.practiceId, service.now());
    } finally {
      mailer.close();
    }
    const letter = post.letters.find((one) => one.to.includes(service.owner.email));
    expect(letter?.text).toContain("Test Horse");
    expect(letter?.text).toMatch(/15:\d\d/);
  });
});

describe("the weeks ahead", () => {
  it("are planned in the background, read with their reasons, and booked in one go", async () => {
    const { page, go } = manager;
    await service.query(
      "UPDATE resets SET status = 'open', booked_for = NULL, booked_minutes = NULL",
    );
    await go("/planning");
    await button(page, "Make a plan").click();
    const dialog = page.getByRole("dialog");
    await dialog.getByLabel("Search for").selectOption("10");
    await dialog.getByRole("button", { name: "Work out a plan" }).click();
    await page.getByRole("heading", { name: "Day by day" }).waitFor({ timeout: 60_000 });
    const words = await page.getByRole("main").innerText();
    expect(words).toContain("Test Horse");
    expect(words).toMatch(/after the due day|on or before the due day/);
    expect(await wcagFaultsOf(page)).toEqual([]);
    await button(page, "Book 1 visit").click();
    const sheet = page.getByRole("dialog");
    await sheet.getByLabel("Reason").fill("The first day that fits");
    await sheet.getByRole("button", { name: "Book 1 visit" }).click();
    await page.getByText("Everything of this plan is booked.").waitFor();
    const [row] = await service.query("SELECT status FROM resets");
    expect(row).toEqual({ status: "booked" });
  });

  it("are covered when a farrier is away, with the days noted", async () => {
    const cover = await service.personWith("farrier", "Cora Cover");
    await service.query(
      "UPDATE resets SET booked_for = $1::timestamptz, status = 'booked', booked_minutes = 45",
      [today.plus({ days: 2, hours: 9 }).toISO()],
    );
    const { page, go } = manager;
    await go("/rota?view=cover");
    await page.getByLabel("Who is away").selectOption({ label: "Fintan Farrier" });
    await page.getByLabel("First day").fill(today.plus({ days: 1 }).toISODate() ?? "");
    await page.getByLabel("Last day").fill(today.plus({ days: 4 }).toISODate() ?? "");
    await button(page, "Show who would take them").click();
    await page.getByText("Test Horse").first().waitFor();
    await page.getByLabel("Takes it: Test Horse").selectOption({ label: "Cora Cover" });
    await page.getByLabel("Reason").fill("ill");
    await button(page, "Note the days away and move them").click();
    await page.getByText("What was moved").waitFor();
    await page.getByText("Moved", { exact: true }).waitFor();
    const [row] = await service.query("SELECT farrier_id FROM resets");
    expect(row).toEqual({ farrier_id: cover.id });
    await go("/rota?view=away");
    await page.getByText("Fintan Farrier").first().waitFor();
  });
});

describe("the pages around a reset", () => {
  it.each([
    "/resets",
    "/resets?view=map",
    "/resets?view=calendar",
    "/resets?view=load",
    "/planning",
    "/rota",
    "/rota?view=away",
    "/rota?view=closed",
    "/rota?view=cover",
    "/calendar",
  ])("%s has nothing that axe objects to, on a desk and on a phone", async (path) => {
    const { page, go } = manager;
    for (const viewport of [
      { width: 1440, height: 1000 },
      { width: 390, height: 844 },
    ]) {
      // oxlint-disable-next-line no-await-in-loop
      await page.setViewportSize(viewport);
      // oxlint-disable-next-line no-await-in-loop
      await go(path);
      // oxlint-disable-next-line no-await-in-loop
      await page.getByRole("heading", { level: 1 }).waitFor();
      // oxlint-disable-next-line no-await-in-loop
      await page.getByRole("status").first().waitFor({ state: "detached" });
      // oxlint-disable-next-line no-await-in-loop
      expect(await wcagFaultsOf(page)).toEqual([]);
      // oxlint-disable-next-line no-await-in-loop
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      expect(wide).toBeLessThanOrEqual(viewport.width);
    }
    await page.setViewportSize({ width: 1440, height: 1000 });
  });

  it("gives a calendar address once, and makes it useless when asked", async () => {
    const { page, go } = farrier;
    await go("/calendar");
    await button(page, "Make an address").first().click();
    const dialog = page.getByRole("dialog");
    await dialog.getByRole("button", { name: "Make an address" }).click();
    const address = await dialog.getByLabel("Calendar address").inputValue();
    const feed = new URL(address).pathname;
    expect((await service.app.inject(feed)).body).toContain("BEGIN:VCALENDAR");
    await dialog.getByRole("button", { name: "Done" }).click();
    await button(page, "Revoke My phone").click();
    await page.getByText("Revoked").waitFor();
    expect((await service.app.inject(feed)).statusCode).toBe(404);
  });
});
