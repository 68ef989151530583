import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { violationsOf } from "../support/accessibility.ts";
import { launchBrowser } from "../support/browser.ts";
import { sitDown, startLiveService, type LiveService, type Seat } from "../support/dashboard.ts";
import {
  addAnimal,
  BUTE_SACHETS,
  courseOf,
  signedCourse,
  weighedBefore,
} from "../support/medicine.ts";
import { toolFolder, toolSays } from "../support/outside-tools.ts";

/** Medicine in the browser: what is refused and why, what a red flag does at once, what the yard sees. */
let service: LiveService;
let browser: Browser;
let vet: Seat;
let carer: Seat;
let pony: string;
let horse: string;
let course: { id: string; version: number };

const today = (addDays = 0) =>
  new Date(Date.now() + addDays * 86_400_000).toISOString().slice(0, 10);

beforeAll(async () => {
  service = await startLiveService();
  const hourAgo = new Date(Date.now() - 3_600_000).toISOString();
  pony = await addAnimal(service, { name: "Small Pony", type: "pony", heightCm: 120 });
  horse = await addAnimal(service, { name: "Tall Horse" });
  await weighedBefore(service, pony, 262, hourAgo);
  await weighedBefore(service, horse, 500, hourAgo);
  for (const horseId of [pony, horse]) {
    // One case after the other, each with its number.
    // oxlint-disable-next-line no-await-in-loop
    const opened = await service.vet.send("post", "/cases", { horseId, phase: "acute" });
    if (opened.status !== 201) throw new Error(`no case: ${opened.text}`);
  }
  course = await signedCourse(
    service.vet,
    horse,
    courseOf(...BUTE_SACHETS, today(1), [
      { fromDay: 1, toDay: 4, doseMg: 1000, timesLocal: ["08:00", "20:00"] },
    ]),
  );
  browser = await launchBrowser();
  vet = await sitDown(browser, service, service.vet);
  carer = await sitDown(browser, service, service.carer, { width: 390, height: 844 });
});
afterAll(async () => {
  await browser.close();
  await service.close();
});

const dialog = (page: Page) => page.getByRole("dialog");

/** Whether the page stands with its heading and nothing on it is still being loaded. */
const isRead = async (page: Page): Promise<boolean> =>
  (await page.getByRole("heading", { level: 1 }).isVisible()) &&
  (await page.getByText("Loading…", { exact: true }).count()) === 0;

describe("too much for a pony", () => {
  // Limit: UK label, ponies 4.4 mg/kg; 2 × 2 g in 262 kg is 15.27 mg/kg, 347 %.
  it("is refused with the arithmetic and the reason on the screen, and is never a dose", async () => {
    const { page, go } = vet;
    await go(`/medication/${pony}`);
    await page.getByRole("button", { name: "More medicine is asked for" }).click();
    await dialog(page)
      .getByLabel("Medicine", { exact: true })
      .selectOption({ label: "phenylbutazone (bute)" });
    await dialog(page).getByLabel("Amount asked for, each time").fill("2000");
    await dialog(page).getByLabel("Times a day").fill("2");
    await dialog(page).getByRole("button", { name: "Work it out and keep it" }).click();
    await dialog(page).getByText("Refused, and kept").waitFor();
    await dialog(page)
      .getByText(/15\.27 mg\/kg in 24 hours: 347 % of the limit/)
      .waitFor();
    await dialog(page)
      .getByText("Nothing was given and nothing was changed.", { exact: false })
      .waitFor();
    expect(await service.query("SELECT id FROM dose_records WHERE horse_id = $1", [pony])).toEqual(
      [],
    );
  });

  it("cannot be signed as a course: the block and its source stand beside the draft", async () => {
    const { page, go } = vet;
    await go(`/medication/${pony}/new`);
    await page
      .getByRole("combobox", { name: "Medicine", exact: true })
      .selectOption({ label: "phenylbutazone (bute)" });
    await page.getByLabel("Measured as").selectOption(BUTE_SACHETS[1]);
    await page.getByRole("textbox", { name: /^Each dose/ }).fill("2");
    await page.getByText("Cannot be signed as it stands").filter({ visible: true }).waitFor();
    await page
      .getByText(/mg\/kg at 262 kg/)
      .filter({ visible: true })
      .first()
      .waitFor();
    await page.getByRole("button", { name: "Save the draft" }).click();
    await page.getByRole("alert").first().waitFor();
    expect(
      await service.query("SELECT id FROM medication_courses WHERE horse_id = $1", [pony]),
    ).toEqual([]);
  });
});

describe("the ration", () => {
  // 262 kg × 1.5 % = 3.93 kg dry matter, / 0.85 = 4.62 kg.
  it("is worked out while it is typed and signed: 4.6 kg of hay for 262 kg at 1.5 % and 85 % dry", async () => {
    const { page, go } = vet;
    await go(`/recovery/${pony}`);
    await page.getByText("of hay a day at 262 kg, weighed dry").waitFor();
    await page.getByRole("button", { name: "Sign as the ration" }).click();
    await page.getByText("of hay a day, weighed dry before any soaking").waitFor();
    expect(await page.getByText("4.6 kg").count()).toBeGreaterThanOrEqual(2);
  });

  it("stands on the carer's phone with what it must never fall under", async () => {
    const { page, go } = carer;
    await go(`/recovery/${pony}`);
    await page.getByText(/Never under 3\.1 kg a day/).waitFor();
    expect(await page.getByRole("button", { name: "Sign as the ration" }).count()).toBe(0);
  });
});

describe("movement", () => {
  it("starts on the first stage; the yard may step back and nobody may move up before the days count", async () => {
    const { page, go } = vet;
    await go(`/recovery/${pony}?tab=movement`);
    await page.getByRole("button", { name: "Start a plan for movement" }).click();
    await dialog(page).getByRole("button", { name: "Start a plan for movement" }).click();
    await page.getByText("0 of 14 days count").waitFor();
    expect(await page.getByRole("button", { name: "One stage up" }).isDisabled()).toBe(true);
    await carer.go(`/recovery/${pony}?tab=movement`);
    await carer.page.getByRole("button", { name: "One stage back" }).waitFor();
    expect(await carer.page.getByRole("button", { name: "One stage up" }).count()).toBe(0);
  });
});

describe("time on ice", () => {
  it("is written down on the phone, and a warm hoof is named in words", async () => {
    const { page, go } = carer;
    await go(`/recovery/${pony}?tab=ice`);
    await page.getByRole("button", { name: "Write down a time" }).click();
    const from = new Date(Date.now() - 4 * 3_600_000);
    const local = new Intl.DateTimeFormat("sv-SE", {
      timeZone: "Europe/Dublin",
      dateStyle: "short",
      timeStyle: "short",
    })
      .format(from)
      .replace(" ", "T");
    await dialog(page).getByLabel("From", { exact: true }).fill(local);
    await dialog(page)
      .getByLabel(/Hoof wall/)
      .fill("12");
    await dialog(page).getByRole("button", { name: "Save" }).click();
    await page.getByText("12 °C, too warm").waitFor();
  });
});

describe("a red flag at the yard", () => {
  it("holds the course at once and stands in the vet's queue without anybody asking for it", async () => {
    await vet.go("/");
    await vet.page.getByRole("heading", { level: 1 }).waitFor();
    expect(await vet.page.getByText(/bute\) on hold/).count()).toBe(0);
    await carer.go(`/care/${horse}/check`);
    await carer.page.getByText("Dark, loose dung").click();
    await carer.page
      .getByRole("button", { name: /Save|Keep/ })
      .first()
      .click();
    // No reload: the line from the service brings it.
    await vet.page
      .getByText(/bute\) on hold/)
      .first()
      .waitFor();
    const read = await service.vet.get(`/courses/${course.id}`);
    expect(read.body.status).toBe("held");
  });

  it("is released by a vet only: the carer's page has no such button, the vet's has", async () => {
    await carer.go(`/courses/${course.id}`);
    await carer.page
      .getByText(/On hold since/)
      .first()
      .waitFor();
    expect(await carer.page.getByRole("button", { name: "Release" }).count()).toBe(0);
    await vet.go(`/courses/${course.id}`);
    await vet.page.getByRole("button", { name: "Release" }).waitFor();
  });
});

describe("tests that are due", () => {
  it("stand with their reason, take the result on the spot, and say what is still missing", async () => {
    const bled = await addAnimal(service, { name: "Blood Horse" });
    await weighedBefore(service, bled, 500, new Date(Date.now() - 3_600_000).toISOString());
    await signedCourse(
      service.vet,
      bled,
      courseOf(...BUTE_SACHETS, today(), [
        { fromDay: 1, toDay: 4, doseMg: 1000, timesLocal: ["23:50"] },
      ]),
    );
    const { page, go } = vet;
    await go(`/monitoring/${bled}`);
    await page.getByText("Baseline with phenylbutazone (bute)").waitFor();
    await page.getByRole("button", { name: "Enter the result" }).click();
    expect(await dialog(page).getByLabel("Test", { exact: true }).inputValue()).toBe(
      "total protein",
    );
    await dialog(page).getByLabel("Value").fill("65");
    await dialog(page).getByLabel("Their range from").fill("55");
    await dialog(page).getByLabel(/^to\b/).fill("75");
    await dialog(page).getByRole("button", { name: "Save" }).click();
    await page.getByText(/still missing: Albumin/).waitFor();
  });

  it("let the manager enter what the laboratory sent, and send the queue's reader to this page", async () => {
    const manager = await sitDown(browser, service, service.manager);
    await manager.go(`/monitoring/${pony}`);
    await manager.page.getByRole("button", { name: "Enter another result" }).waitFor();
    await manager.close();
    const { body } = await service.vet.get("/queue");
    const waiting = (body.items as { kind: string; nextAction: { href: string } }[]).filter(
      (one) => one.kind === "monitoring due",
    );
    expect(waiting.length).toBeGreaterThan(0);
    for (const { nextAction } of waiting) expect(nextAction.href).toMatch(/^\/monitoring\//u);
  });
});

describe("a written prescription", () => {
  it("is complete once the practice's address was changed on the same page, and its PDF carries every field the law asks for, read back by poppler (Veterinary Medicines Regulations 2013, schedule 3 paragraph 6)", async () => {
    const paper = await addAnimal(service, { name: "Paper Horse" });
    await weighedBefore(service, paper, 500, new Date(Date.now() - 3_600_000).toISOString());
    const signed = await signedCourse(
      service.vet,
      paper,
      courseOf(...BUTE_SACHETS, today(1), [
        { fromDay: 1, toDay: 4, doseMg: 1000, timesLocal: ["08:00", "20:00"] },
      ]),
    );
    const { page, go } = vet;
    await go(`/courses/${signed.id}`);
    await page.getByRole("link", { name: "Write a prescription" }).click();
    const law = page.getByRole("region", { name: "What the law asks for" });
    await law.getByText("4 fields are missing").waitFor();
    await page.getByRole("button", { name: "Change", exact: true }).click();
    await dialog(page).getByRole("textbox").fill("4 Mill Quay, Testtown");
    await dialog(page).getByRole("button", { name: "Save" }).click();
    // It closes once all is read again; until then it alone takes what is typed.
    await dialog(page).waitFor({ state: "detached" });
    await law.getByText("Test Practice, 4 Mill Quay, Testtown").waitFor();
    await law.getByText("3 fields are missing").waitFor();
    expect(await page.getByRole("button", { name: "Sign the prescription" }).isDisabled()).toBe(
      true,
    );
    await page.getByLabel("Qualifications").fill("MVB");
    await page.getByRole("textbox", { name: /^Name\b/ }).fill("Odo Owner");
    await page.getByRole("textbox", { name: /^Address\b/ }).fill("2 Test Lane, Testtown");
    await law.getByText(/^Complete\. May be supplied to/).waitFor();
    expect(await violationsOf(page)).toEqual([]);
    await page.getByRole("button", { name: "Sign the prescription" }).click();
    await page.getByRole("heading", { level: 1, name: /^Prescription \d+$/ }).waitFor();
    const href = await page.getByRole("link", { name: "To print (PDF)" }).getAttribute("href");
    const answer = await page.request.get(String(href));
    expect(answer.status()).toBe(200);
    const folder = toolFolder();
    try {
      const file = folder.write("prescription.pdf", await answer.body());
      // Poppler takes a hyphen at the end of a line for one of the typesetter's; so both go without.
      const letters = (text: string): string => text.replaceAll(/[\s-]+/g, "");
      const said = letters(toolSays("pdftotext", file, "-"));
      for (const words of [
        "Name of the prescribing vet",
        "Test Practice, 4 Mill Quay, Testtown",
        "+353 1 000 0000",
        "Qualifications",
        "MVB",
        "Odo Owner",
        "2 Test Lane, Testtown",
        "Identity of the animal",
        "Paper Horse",
        "Species",
        "horse",
        "Date",
        "Signed electronically by",
        "phenylbutazone (bute)",
        // Four days of two sachets of 1 g.
        "8 sachets",
        "1 sachet (1000 mg) at 08:00 and 20:00, days 1 to 4",
        "Warnings",
        "Excluded from the food chain for good",
      ])
        expect(said, words).toContain(letters(words));
    } finally {
      folder.remove();
    }
  });
});

describe("every page of the room", () => {
  it("has nothing that axe finds fault with, wide and on a phone", async () => {
    const paths = [
      `/monitoring/${horse}`,
      `/medication/${horse}?tab=other`,
      `/recovery/${pony}`,
      `/recovery/${pony}?tab=weight`,
      `/recovery/${pony}?tab=movement`,
      `/recovery/${pony}?tab=ice`,
    ];
    for (const { page, go } of [vet, carer])
      for (const path of page === vet.page ? paths : paths.slice(2, 5)) {
        // One page after the other in one window.
        // oxlint-disable-next-line no-await-in-loop
        await go(path);
        // oxlint-disable-next-line no-await-in-loop
        await expect.poll(() => isRead(page), { timeout: 15_000 }).toBe(true);
        // oxlint-disable-next-line no-await-in-loop
        expect(await violationsOf(page), path).toEqual([]);
      }
  });
});
