import { DateTime } from "luxon";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { connect, type Database } from "../../apps/api/src/database/client.ts";
import { dispatchOutbox } from "../../apps/api/src/mail/dispatch-outbox.ts";
import { smtpMailer } from "../../apps/api/src/mail/mailer.ts";
import { wcagFaultsOf } from "../support/accessibility.ts";
import { SENDER } from "../support/background.ts";
import { launchBrowser } from "../support/browser.ts";
import { startLiveService, type LiveService } from "../support/dashboard.ts";
import { startMailServer, type TestMailServer } from "../support/mail-server.ts";
import { TEST_MAIL } from "../support/service.ts";

/** The link of a reminder letter, opened on a phone by somebody who never signed in. */
const ZONE = "Europe/Dublin";
const PHONE = { width: 390, height: 844 };

let service: LiveService;
let post: TestMailServer;
let db: Database;
let browser: Browser;
let context: BrowserContext;
let page: Page;
let resetId = "";
let visit: DateTime = DateTime.now();

beforeAll(async () => {
  post = await startMailServer();
  service = await startLiveService();
  db = connect(service.appUrl, 5);
  browser = await launchBrowser();
});
afterAll(async () => {
  await browser.close();
  await db.$disconnect();
  await service.close();
  await post.close();
});
beforeEach(async () => {
  await service.query("TRUNCATE resets, cases, outbox CASCADE");
  const today = DateTime.now().setZone(ZONE).startOf("day");
  visit = today.plus({ days: 5, hours: 9, minutes: 30 });
  const started = await service.manager.send("post", `/horses/${service.horseId}/resets`, {
    lastDoneOn: today.minus({ days: 24 }).toISODate(),
    intervalDays: 28,
  });
  resetId = (started.body as { id: string }).id;
  context = await browser.newContext({
    viewport: PHONE,
    baseURL: service.url,
    timezoneId: ZONE,
    locale: "en-GB",
    reducedMotion: "reduce",
  });
  context.setDefaultTimeout(15_000);
  page = await context.newPage();
});
afterEach(() => context.close());

const readReset = async () => (await service.manager.get(`/resets/${resetId}`)).body;
const book = async () => {
  const { version } = await readReset();
  const booked = await service.manager.send(
    "post",
    `/resets/${resetId}/booking`,
    { bookedFor: visit.toISO({ suppressMilliseconds: true }), reason: "agreed" },
    version,
  );
  expect(booked.status, booked.text).toBe(200);
};
/** Sends a reminder and gives the path of the link in the letter, as the mail server got it. */
const linkByMail = async (): Promise<string> => {
  const sent = await service.manager.send("post", `/resets/${resetId}/reminders`);
  expect(sent.status, sent.text).toBe(201);
  const mailer = smtpMailer(post.url, SENDER);
  try {
    await dispatchOutbox({ db, mailer, room: TEST_MAIL }, service.practiceId, service.now());
  } finally {
    mailer.close();
  }
  const link = /http:\/\/heelward\.invalid(\/reminder\/[\w-]+)/u.exec(
    post.letters.at(-1)?.text ?? "",
  )?.[1];
  if (link === undefined) throw new Error("no link in the letter");
  return link;
};
const button = (name: string) => page.getByRole("button", { name, exact: true });
const heading = (name: string | RegExp) => page.getByRole("heading", { level: 1, name });

describe("the link of a reminder letter", () => {
  it("tells a stranger which horse, when and where, and sends nothing: scanners open links too", async () => {
    await book();
    const link = await linkByMail();
    const writes: string[] = [];
    page.on("request", (request) => {
      if (request.method() !== "GET") writes.push(`${request.method()} ${request.url()}`);
    });
    await page.goto(link);
    await heading("The farrier's visit for Test Horse").waitFor();
    const words = await page.getByRole("main").innerText();
    expect(words).toContain(visit.setLocale("en-GB").toFormat("cccc d LLLL"));
    expect(words).toContain("09:30");
    expect(words).toContain("Test Yard");
    expect(words).not.toMatch(/laminitis|Obel|Odo Owner/iu);
    await page.getByRole("link", { name: /Ring Test Practice/ }).waitFor();
    // A number in a tel: link has no spaces. source: RFC 3966, 3.
    expect(await page.getByRole("link", { name: /Ring Test Practice/ }).getAttribute("href")).toBe(
      "tel:+35310000000",
    );
    expect(writes).toEqual([]);
    expect(await readReset()).toMatchObject({ ownerAnswer: null });
    expect((await service.app.inject(`/api/v1/reminders/${link.slice(10)}`)).statusCode).toBe(200);
  });

  it("takes a No with words in two taps, which then stands on the board, and shows it after", async () => {
    await book();
    const link = await linkByMail();
    await page.goto(link);
    await page.getByText("Add a few words first").click();
    await page.getByLabel("Anything we should know").fill("I am away; Thursdays suit.");
    await button("No, I need another day").click();
    await heading("Thank you").waitFor();
    await page.getByText("Test Practice will ring you about what suits better.").waitFor();
    const reset = await readReset();
    expect(reset.ownerAnswer).toBe("no");
    expect(reset.attempts[0]).toMatchObject({ channel: "mail", answer: "no" });
    expect(reset.attempts[0].detail).toContain("I am away; Thursdays suit.");
    await page.goto(link);
    await heading("Thank you").waitFor();
    await page.getByText("No, I need another day").waitFor();
    await page.getByRole("link", { name: /Ring Test Practice/ }).waitFor();
    expect(await page.getByRole("button").count()).toBe(0);
    expect((await readReset()).attempts).toHaveLength(reset.attempts.length);
  });

  it.each([
    ["Yes, that suits", "yes"],
    ["Please ring me", "call me"],
  ])("answers %s with one tap", async (name, answer) => {
    await book();
    await page.goto(await linkByMail());
    await button(name).click();
    await heading("Thank you").waitFor();
    expect((await readReset()).ownerAnswer).toBe(answer);
  });

  it("asks whether a visit may be booked where no day is set, and promises none", async () => {
    await page.goto(await linkByMail());
    await page.getByText("May we book a visit?").waitFor();
    await page.getByText("No day is set yet").waitFor();
    await button("Yes, please book a visit").click();
    await page.getByText("It is noted. Test Practice will let you know the day.").waitFor();
    expect((await readReset()).ownerAnswer).toBe("yes");
  });

  it("says so, with the number to ring, when somebody else answered meanwhile", async () => {
    await book();
    const link = await linkByMail();
    await page.goto(link);
    await button("Yes, that suits").waitFor();
    await service.query("UPDATE reminders SET answered_at = now(), answer = 'no'");
    await button("Yes, that suits").click();
    await heading("This link is answered or out of date").waitFor();
    await page.getByRole("link", { name: /Ring Test Practice/ }).waitFor();
    expect(await readReset()).toMatchObject({ ownerAnswer: null });
  });

  it.each([
    ["never sent", `/reminder/${"x".repeat(43)}`],
    ["cut short by a mail program", "/reminder/abc"],
  ])("stays kind where the link was %s", async (_, path) => {
    await page.goto(path);
    await heading("This link is answered or out of date").waitFor();
    await page.getByText("the number is at the end of the letter", { exact: false }).waitFor();
  });

  it("keeps the words and the question while the connection is away, and sends once it is back", async () => {
    await book();
    await page.goto(await linkByMail());
    await page.getByText("Add a few words first").click();
    const words = page.getByLabel("Anything we should know");
    await words.fill("The gate code has changed.");
    await context.setOffline(true);
    await button("Yes, that suits").click();
    await page.getByRole("alert").getByText("We cannot tell whether your answer").waitFor();
    expect(await words.inputValue()).toBe("The gate code has changed.");
    await context.setOffline(false);
    await button("Yes, that suits").click();
    await heading("Thank you").waitFor();
    const { attempts, ownerAnswer } = await readReset();
    expect(ownerAnswer).toBe("yes");
    expect(attempts[0].detail).toContain("The gate code has changed.");
  });

  it("says what to do when the service cannot be reached, and opens on the next try", async () => {
    await book();
    const link = await linkByMail();
    await page.route("**/api/v1/reminders/**", (route) => route.abort());
    await page.goto(link);
    await heading("The question could not be opened").waitFor();
    await page.unroute("**/api/v1/reminders/**");
    await button("Try again").click();
    await button("Yes, that suits").waitFor();
  });

  it.each(["light", "dark"] as const)(
    "can be read and pressed by everybody, in %s: axe finds nothing, buttons are 44 px and more",
    async (colorScheme) => {
      await page.emulateMedia({ colorScheme });
      await book();
      const link = await linkByMail();
      await page.goto(link);
      await button("Yes, that suits").waitFor();
      expect(await wcagFaultsOf(page)).toEqual([]);
      for (const one of await page.getByRole("button").or(page.getByRole("link")).all()) {
        // oxlint-disable-next-line no-await-in-loop
        const box = await one.boundingBox();
        // source: WCAG 2.2, 2.5.5 (44 by 44 CSS pixels).
        expect(box?.height ?? 0).toBeGreaterThanOrEqual(44);
      }
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      expect(wide).toBeLessThanOrEqual(PHONE.width);
      await button("Yes, that suits").click();
      await heading("Thank you").waitFor();
      expect(await wcagFaultsOf(page)).toEqual([]);
      await page.goto(link);
      await heading("Thank you").waitFor();
      expect(await wcagFaultsOf(page)).toEqual([]);
      await page.goto(`/reminder/${"x".repeat(43)}`);
      await heading("This link is answered or out of date").waitFor();
      expect(await wcagFaultsOf(page)).toEqual([]);
    },
  );

  it("speaks German to a German phone", async () => {
    await book();
    const link = await linkByMail();
    const german = await browser.newContext({
      viewport: PHONE,
      baseURL: service.url,
      timezoneId: ZONE,
      locale: "de-DE",
    });
    try {
      const other = await german.newPage();
      await other.goto(link);
      await other.getByRole("button", { name: "Ja, das passt" }).waitFor();
      const day = visit.setLocale("de-DE").toFormat("cccc, d. LLLL");
      expect(await other.getByRole("main").innerText()).toContain(day);
    } finally {
      await german.close();
    }
  });
});
