import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { launchBrowser } from "../support/browser.ts";
import { sitDown, startLiveService, WEB_DIST, type LiveService } from "../support/dashboard.ts";
import { startSecondProcess } from "../support/second-process.ts";

/** What one person does shows on another's screen: without a reload, through any process, after a gap. */
let service: LiveService;
let second: Awaited<ReturnType<typeof startSecondProcess>>;
let browser: Browser;

beforeAll(async () => {
  service = await startLiveService();
  const opened = await service.vet.send("post", "/cases", {
    horseId: service.horseId,
    phase: "chronic active",
  });
  if (opened.status !== 201) throw new Error(`could not open a case: ${opened.text}`);
  second = await startSecondProcess(service, WEB_DIST);
  browser = await launchBrowser();
});
afterAll(async () => {
  await browser.close();
  await second.close();
  await service.close();
});

const writeNote = async (mustDo: string): Promise<void> => {
  const sent = await service.vet.send("post", "/handoff-notes", {
    horseId: service.horseId,
    toRole: "farrier",
    situation: `Loose shoe: ${mustDo}`,
    mustDo,
  });
  expect(sent.status).toBe(201);
};
const shows = async (page: Page, text: string): Promise<void> =>
  page.getByRole("main").getByText(text).first().waitFor();
/** Marks the page; a reload would lose the mark. */
const mark = async (page: Page): Promise<void> =>
  page.evaluate(() => void Object.assign(globalThis, { isSamePage: true }));
const isSamePage = async (page: Page): Promise<boolean> =>
  page.evaluate(() => "isSamePage" in globalThis);
/** Opens the page anew and waits until its own line to the service stands, not the one before. */
const openAnew = async (page: Page): Promise<void> => {
  let isNew = false;
  page.once("framenavigated", () => (isNew = true));
  const line = page.waitForResponse(
    (one) => isNew && one.url().endsWith("/api/v1/events") && one.status() === 200,
  );
  await page.reload();
  await line;
};

describe("the queue on somebody else's screen", () => {
  it("shows a note the moment it is written, without a reload", async () => {
    const { page, close } = await sitDown(browser, service, service.farrier);
    await openAnew(page);
    await mark(page);
    await writeNote("come by on Thursday");
    await shows(page, "come by on Thursday");
    expect(await isSamePage(page)).toBe(true);
    await close();
  });

  it("shows it to a person whose page comes from another process of the service", async () => {
    const { page, close } = await sitDown(browser, second, service.farrier);
    await openAnew(page);
    await mark(page);
    await writeNote("bring the wide shoes");
    await shows(page, "bring the wide shoes");
    expect(await isSamePage(page)).toBe(true);
    await close();
  });

  it("shows what was missed while the line was down, once it is back", async () => {
    const { page, close } = await sitDown(browser, service, service.farrier);
    await openAnew(page);
    await mark(page);
    await page.context().setOffline(true);
    await writeNote("ring before you come");
    expect(await page.getByText("ring before you come").count()).toBe(0);
    await page.context().setOffline(false);
    await shows(page, "ring before you come");
    expect(await isSamePage(page)).toBe(true);
    await close();
  });

  it("asks for the password as soon as the person was removed, and shows nothing new", async () => {
    const leaver = await service.personWith("carer", "Lea Leaver");
    const { page, close } = await sitDown(browser, service, leaver);
    await openAnew(page);
    const removed = await service.manager.send(
      "patch",
      `/people/${leaver.id}`,
      { status: "removed" },
      1,
    );
    expect(removed.status).toBe(200);
    await page.getByRole("dialog").getByLabel("Password").waitFor();
    await close();
  });
});
