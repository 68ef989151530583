import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { violationsOf } from "../support/accessibility.ts";
import { launchBrowser } from "../support/browser.ts";
import {
  answer,
  sitDown,
  startLiveService,
  type LiveService,
  type Seat,
} from "../support/dashboard.ts";

/** The browser may be slow where much else runs. */
const SLOWLY = { timeout: 30_000 };

let service: LiveService;
let browser: Browser;
let vet: Seat;
let carer: Seat;
let caseId: string;

beforeAll(async () => {
  service = await startLiveService();
  caseId = (
    (
      await service.vet.send("post", "/cases", {
        horseId: service.horseId,
        phase: "chronic active",
      })
    ).body as { id: string }
  ).id;
  browser = await launchBrowser();
  vet = await sitDown(browser, service, service.vet);
  carer = await sitDown(browser, service, service.carer, { width: 390, height: 844 });
});
afterAll(async () => {
  await browser.close();
  await service.close();
});

describe("the foot that carries the load of a hurt leg", () => {
  it("is proposed for a watch after an examination lame at grade 4, and ticked by the carer on the care list", async () => {
    const { page, go } = vet;
    await go(`/cases/${caseId}/examine`);
    await page
      .getByLabel("Lameness", { exact: true })
      .selectOption({ label: "4 · obvious at the walk" });
    await page.getByRole("button", { name: "Record the examination" }).click();
    const dialog = page.getByRole("dialog", { name: "Open a watch on the other foot?" });
    await dialog.waitFor();
    await answer(dialog, "Which leg is hurt?", "Right fore");
    await dialog.getByText("The foot to watch is then: Left fore.").waitFor();
    await dialog.getByRole("button", { name: "Open the watch" }).click();
    await page.waitForURL(/tab=examinations$/);

    const list = carer.page.getByRole("region", { name: "Feet to check twice a day" });
    await carer.go("/care");
    await list.getByText("2 checks still to make today").waitFor();
    expect(await violationsOf(carer.page)).toEqual([]);
    await list.getByRole("button", { name: "Check this foot" }).click();
    const check = carer.page.getByRole("dialog", { name: /check the Left fore/i });
    await answer(check, "Pulse in the foot", "usual");
    await answer(check, "Warmth of the hoof", "cool");
    await answer(check, "How does it stand on this foot?", "As usual");
    await check.getByRole("button", { name: "Write it down" }).click();
    await list.getByText("1 check still to make today").waitFor();
    expect(
      await service.query("SELECT digital_pulses, hoof_heat FROM examinations WHERE kind = $1", [
        "care check",
      ]),
    ).toEqual([{ digital_pulses: { LF: "usual" }, hoof_heat: { LF: "cool" } }]);
  });

  it("is told to ring now when it is suddenly rested", async () => {
    const { page } = carer;
    await page.getByRole("button", { name: "Check this foot" }).click();
    const check = page.getByRole("dialog", { name: /check the Left fore/i });
    await answer(check, "How does it stand on this foot?", "Suddenly rests it");
    await check
      .getByRole("alert")
      .getByText(/a red flag, not a sign/)
      .waitFor();
    await answer(check, "Pulse in the foot", "bounding");
    await answer(check, "Warmth of the hoof", "hot");
    await check.getByRole("button", { name: "Write it down" }).click();
    await page.getByText("Checked for today").waitFor();
    await expect
      .poll(
        () =>
          service.query("SELECT id FROM examinations WHERE is_red_flag AND kind = 'care check'"),
        SLOWLY,
      )
      .toHaveLength(1);
  });
});

describe("the learning note", () => {
  it("is asked for when the case is closed, and is then kept as one printed page", async () => {
    const file = (await service.vet.get(`/cases/${caseId}`)).body as { version: number };
    const closed = await service.vet.send(
      "post",
      `/cases/${caseId}/closure`,
      { reason: "moved away", note: "The owner moved.", recordsSentTo: "The new practice" },
      file.version,
    );
    expect(closed.status).toBe(200);
    const { page, go } = vet;
    await go(`/cases/${caseId}`);
    await page.getByRole("link", { name: /Learning note/ }).click();
    await page.getByLabel("What we expected").fill("Comfort by day 14 with the toe unloaded.");
    await page.getByLabel("What happened").fill("Sole grew for three weeks.");
    await answer(page, "Did the heel raise (wedge) help?", "Not used");
    await page.getByLabel("What we do another time").fill("Film at day 10.");
    await page.getByRole("button", { name: "Keep the note" }).click();
    await page.getByRole("button", { name: "Print" }).waitFor();
    await page.getByText("Written by Vera Vet", { exact: false }).waitFor();
    expect(await violationsOf(page)).toEqual([]);
    expect(await service.query("SELECT lesson FROM learning_notes")).toEqual([
      { lesson: "Film at day 10." },
    ]);
  });
});
