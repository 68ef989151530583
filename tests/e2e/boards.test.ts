import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { violationsOf } from "../support/accessibility.ts";
import { launchBrowser } from "../support/browser.ts";
import { sitDown, startLiveService, type LiveService } from "../support/dashboard.ts";
import { draftFirstAidPlan } from "../support/first-aid-plan.ts";

/** The vet's morning and signing desk, and the manager's figures, as they use them. */
let service: LiveService;
let browser: Browser;
let caseId: string;

beforeAll(async () => {
  service = await startLiveService();
  const opened = await service.vet.send("post", "/cases", {
    horseId: service.horseId,
    phase: "acute",
    leadVetId: service.vet.id,
  });
  if (opened.status !== 201) throw new Error(`could not open a case: ${opened.text}`);
  caseId = opened.body.id as string;
  browser = await launchBrowser();
});
afterAll(async () => {
  await browser.close();
  await service.close();
});

const statusOf = async (id: string) => (await service.vet.get(`/prescriptions/${id}`)).body;

describe("signing what was read", () => {
  it("signs each confirmed draft as a record of its own, says which one was refused, and leaves the unread alone", async () => {
    const first = await draftFirstAidPlan(service, caseId, "Take the load off the toe.");
    const moved = await draftFirstAidPlan(service, caseId, "Carry the back of the foot.");
    const unread = await draftFirstAidPlan(service, caseId, "Not read this morning.");
    const { page, go, close } = await sitDown(browser, service, service.vet);
    await go("/signing");
    for (const aim of ["Take the load off the toe.", "Carry the back of the foot."]) {
      const card = page.getByRole("region").filter({ hasText: aim });
      // oxlint-disable-next-line no-await-in-loop
      await card.waitFor();
      const reasons = card.getByLabel("Your reason");
      // oxlint-disable-next-line no-await-in-loop
      for (const reason of await reasons.all()) await reason.fill("First aid until it is filmed");
      const longer = card.getByLabel("Why the interval is longer", { exact: false });
      // oxlint-disable-next-line no-await-in-loop
      for (const field of await longer.all()) await field.fill("No farrier before");
      // oxlint-disable-next-line no-await-in-loop
      await card.getByRole("checkbox").check();
    }
    expect(await violationsOf(page)).toEqual([]);
    // Somebody changes one of them after it was read, with the page still as it was read.
    await page.route("**/api/v1/drafts", () => new Promise(() => undefined));
    const changed = await service.vet.send(
      "patch",
      `/prescriptions/${moved}`,
      { aim: "Changed meanwhile." },
      1,
    );
    expect(changed.status, changed.text).toBe(200);
    await page.getByRole("button", { name: "Sign 2" }).click();
    await page.getByText("1 signed, 1 not.", { exact: false }).waitFor();
    await page.getByText("Plan 1, Test Horse: signed", { exact: true }).waitFor();
    await page.getByText("Plan 2, Test Horse: NOT signed").waitFor();
    expect(await statusOf(first)).toMatchObject({
      status: "signed",
      signature: expect.any(String),
    });
    for (const id of [moved, unread])
      // oxlint-disable-next-line no-await-in-loop
      expect(await statusOf(id)).toMatchObject({ status: "draft", signature: null });
    await close();
  });
});

describe("the morning board", () => {
  it("shows the case with its next decision, and keeps a filter as a view to be chosen, renamed and deleted", async () => {
    const { page, go, close } = await sitDown(browser, service, service.vet);
    await go("/morning");
    const line = page.getByRole("listitem").filter({ hasText: "Test Yard" }).first();
    await line.getByRole("link", { name: "Test Horse" }).waitFor();
    await page.getByRole("searchbox").fill("Test");
    await page.getByRole("button", { name: "Save this view" }).click();
    const name = page.getByRole("dialog").getByRole("textbox", { name: "Name" });
    await name.fill("My yard");
    await page.getByRole("button", { name: "Save", exact: true }).click();
    const view = page.getByRole("button", { name: "My yard", exact: true });
    await view.waitFor();
    await page.getByRole("button", { name: "Rename “My yard”" }).click();
    await name.fill("Near me");
    await page.getByRole("button", { name: "Save", exact: true }).click();
    const renamed = page.getByRole("button", { name: "Near me", exact: true });
    await renamed.waitFor();
    await go("/morning");
    await renamed.click();
    await page.waitForURL(/q=Test/u);
    expect(await violationsOf(page)).toEqual([]);
    await page.getByRole("button", { name: "Delete “Near me”" }).click();
    await renamed.waitFor({ state: "detached" });
    const { queueViews } = (await service.vet.get("/session/preferences")).body;
    expect(queueViews).toEqual([]);
    await close();
  });
});

describe("the outcomes page", () => {
  it("gives n with every figure and no share of fewer than five, and hands out each part as a table", async () => {
    const { page, go, close } = await sitDown(browser, service, service.manager);
    await go("/outcomes");
    await page.getByRole("heading", { name: "Work per person" }).waitFor();
    await page.getByText("too few to say").first().waitFor();
    expect(await page.getByRole("main").getByText(/\d %/u).count()).toBe(0);
    const [table] = await Promise.all([
      page.waitForEvent("download"),
      page.getByRole("link", { name: /As a table.*Work per person/ }).click(),
    ]);
    expect(table.suggestedFilename()).toBe("outcomes-workload.csv");
    expect(await violationsOf(page)).toEqual([]);
    await close();
  });
});

describe("an owner", () => {
  it("sees a result only once a vet has read and released it", async () => {
    const added = await service.vet.send("post", `/horses/${service.horseId}/lab-results`, {
      takenOn: "2026-01-12",
      test: "insulin",
      value: 28,
      unit: "µIU/mL",
    });
    expect(added.status, added.text).toBe(201);
    const { page, go, close } = await sitDown(browser, service, service.owner);
    await go(`/portal/${service.horseId}`);
    await page.getByRole("heading", { name: "Test Horse" }).first().waitFor();
    await page.getByText("The vet signed a new plan", { exact: false }).first().waitFor();
    expect(await page.getByText("28 µIU/mL", { exact: false }).count()).toBe(0);
    const words = "The sugar hormone is too high; we change the hay.";
    const released = await service.vet.send(
      "post",
      `/lab-results/${String(added.body.id)}/reading`,
      { release: true, words },
      added.body.version as number | undefined,
    );
    expect(released.status, released.text).toBe(200);
    await go(`/portal/${service.horseId}`);
    await page.getByText(words, { exact: false }).first().waitFor();
    await close();
  });
});
