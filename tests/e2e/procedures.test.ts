import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { launchBrowser } from "../support/browser.ts";
import { sitDown, startLiveService, type LiveService, type Seat } from "../support/dashboard.ts";
import { newCase } from "../support/film-room.ts";

let service: LiveService;
let browser: Browser;
let vet: Seat;
let farrier: Seat;
let path = "";

beforeAll(async () => {
  service = await startLiveService();
  const second = await service.personWith("vet", "Second Vet");
  const caseId = await newCase({ service, second }, "Sore Toe");
  path = `/cases/${caseId}/procedures`;
  browser = await launchBrowser();
  vet = await sitDown(browser, service, service.vet);
  farrier = await sitDown(browser, service, service.farrier, { width: 390, height: 844 });
});
afterAll(async () => {
  await browser.close();
  await service.close();
});

const procedures = async (): Promise<readonly { status: string; foot: string }[]> =>
  (await service.vet.get(path)).body.items;
const ask = async (foot: string, reason: string): Promise<void> => {
  const { page, go } = farrier;
  await go(path);
  await page.getByRole("button", { name: "Ask for one" }).click();
  const dialog = page.getByRole("dialog", { name: "Ask for a procedure" });
  await dialog.getByText(foot, { exact: true }).click();
  await dialog.getByLabel("What was found, and why").fill(reason);
  await dialog.getByRole("button", { name: "Ask for one" }).click();
  await dialog.waitFor({ state: "detached" });
  await page.getByText(reason).waitFor();
};

describe("a procedure on the foot", () => {
  it("is asked for by the farrier, who cannot order it", async () => {
    await ask("Left fore", "Fluid under the wall at the toe, painful to the tester.");
    expect(await procedures()).toMatchObject([{ status: "requested", foot: "LF" }]);
    expect(await farrier.page.getByRole("button", { name: "Order it" }).count()).toBe(0);
  });

  it("is ordered by the vet once the owner's consent and the aftercare stand in the dialog", async () => {
    const { page, go } = vet;
    await go(path);
    await page.getByRole("button", { name: "Order it" }).click();
    const dialog = page.getByRole("dialog", { name: "Order the drainage, left fore" });
    const sign = dialog.getByRole("button", { name: "Sign the order" });
    await dialog.getByLabel("Who consented").fill("Olive Owner");
    await dialog.getByLabel(/What was explained/).fill("Risks, cost and waiting, by telephone.");
    expect(await sign.isDisabled()).toBe(true);
    await dialog.getByLabel(/^Aftercare/).fill("Keep the bandage dry\n3: change the bandage");
    await sign.click();
    await dialog.waitFor({ state: "detached" });
    await page.getByText("change the bandage (day 3)").waitFor();
    expect(await procedures()).toMatchObject([{ status: "signed" }]);
  });

  it("is recorded as done with what was found, and leaves its aftercare to the yard", async () => {
    const { page } = vet;
    await page.getByRole("button", { name: "Record as done" }).click();
    const dialog = page.getByRole("dialog", { name: "Record the drainage, left fore" });
    await dialog.getByLabel("What was found and done").fill("Grey fluid, opened and flushed.");
    await dialog.getByRole("button", { name: "Record as done" }).click();
    await dialog.waitFor({ state: "detached" });
    await page.getByText("Grey fluid, opened and flushed.").waitFor();
    expect(await procedures()).toMatchObject([{ status: "done" }]);
    await page.getByRole("cell", { name: "change the bandage" }).waitFor();
  });

  it("is decided against by the vet, with a reason the farrier reads", async () => {
    await ask("Right fore", "Dead wall at the quarter.");
    const { page, go } = vet;
    await go(path);
    await page.getByRole("button", { name: "Decide against" }).click();
    const dialog = page.getByRole("dialog", { name: "Decide against the drainage, right fore" });
    await dialog.getByLabel("Why not").fill("It grows down by itself; film in four weeks.");
    await dialog.getByRole("button", { name: "Decide against" }).click();
    await dialog.waitFor({ state: "detached" });
    await farrier.go(path);
    await farrier.page.getByText("It grows down by itself; film in four weeks.").waitFor();
    expect(await procedures()).toHaveLength(2);
  });
});
