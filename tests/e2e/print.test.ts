import { writeFileSync } from "node:fs";
import { DateTime } from "luxon";
import type { Browser, Page } from "playwright-core";
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { violationsOf } from "../support/accessibility.ts";
import { launchBrowser } from "../support/browser.ts";
import { sitDown, startLiveService, type LiveService, type Seat } from "../support/dashboard.ts";
import { putFarrierDay, type DayHorse } from "../support/farrier-day.ts";
import { bytesFrom } from "../support/films.ts";
import { draftFirstAidPlan, signPlan } from "../support/first-aid-plan.ts";
import { toolFolder, toolSays } from "../support/outside-tools.ts";
import type { TestPerson } from "../support/service.ts";

/** Horses of the printed day: as many as a farrier trims in a full one. Common practice, no source. */
const HORSES_OF_A_DAY = 8;
const PHONE = "+353 1 000 0000";
/** "printed 25 Nov 2026, 17:44": the day, the year and the minute the sheet left the printer. */
const PRINTED_AT = /printed \d{1,2} \w{3,4} \d{4}, \d{2}:\d{2}/;

const tools = toolFolder();
let service: LiveService;
let browser: Browser;
let vet: Seat;
let carer: Seat;
let farrier: Seat;
let owner: Seat;
let caseId: string;
let sheetId: string;
let planId: string;
let day: readonly DayHorse[];

const made = async (
  person: TestPerson,
  path: string,
  body: object,
): Promise<Record<string, unknown>> => {
  const answer = await person.send("post", path, body);
  if (answer.status !== 201) throw new Error(`${path}: ${answer.text}`);
  return answer.body as Record<string, unknown>;
};

/** A first-aid sheet with every step done: the longest there is. */
const doneSheet = async (): Promise<string> => {
  const sheet = (await made(service.vet, `/cases/${caseId}/first-aid-sheets`, {
    obelGrade: 3,
    feetAffected: ["LF", "RF"],
    canLiftFeet: "easily",
    foamAvailable: true,
    padsAvailable: true,
    outside: true,
    iceOrderedByVet: true,
  })) as { id: string; steps: { id: string; checklist: boolean }[] };
  for (const step of sheet.steps.filter((one) => one.checklist))
    // One tick after the other, as hands do them.
    // oxlint-disable-next-line no-await-in-loop
    await made(service.carer, `/first-aid-sheets/${sheet.id}/ticks`, {
      stepId: step.id,
      doneAt: new Date().toISOString(),
    });
  return sheet.id;
};

beforeAll(async () => {
  service = await startLiveService();
  await service.query("UPDATE yards SET phone = '+353 1 000 0077'");
  caseId = (await made(service.vet, "/cases", { horseId: service.horseId, phase: "acute" }))[
    "id"
  ] as string;
  // A year of weights: more lines than a page has.
  for (let month = 12; month >= 0; month -= 1)
    // oxlint-disable-next-line no-await-in-loop
    await made(service.vet, `/horses/${service.horseId}/weighings`, {
      method: "scale",
      weightKg: 460 + month,
      weighedAt: DateTime.now()
        .minus({ days: 30 * month, hours: 1 })
        .toISO(),
    });
  sheetId = await doneSheet();
  await made(service.vet, `/horses/${service.horseId}/limb-watches`, {
    hurtLimb: "RF",
    inCast: true,
  });
  planId = await draftFirstAidPlan(service, caseId, "Rest the back half of the foot on foam.");
  await signPlan(service, planId);
  day = await putFarrierDay(service, HORSES_OF_A_DAY);
  browser = await launchBrowser();
  vet = await sitDown(browser, service, service.vet);
  carer = await sitDown(browser, service, service.carer, { width: 390, height: 844 });
  farrier = await sitDown(browser, service, service.farrier);
  owner = await sitDown(browser, service, service.owner);
});
afterAll(async () => {
  await browser.close();
  await service.close();
  tools.remove();
});

/**
 * What is on a sheet of paper: its words and its colours.
 * Source: pdfinfo, pdftotext and pdftoppm of poppler read and draw the page independently.
 */
const readPaper = async (name: string, bytes: Uint8Array) => {
  const file = tools.path(`${name}.pdf`);
  writeFileSync(file, bytes);
  const info = toolSays("pdfinfo", file);
  const picture = tools.path(name);
  toolSays("pdftoppm", "-r", "72", "-png", file, picture);
  const { data, info: drawn } = await sharp(`${picture}-1.png`)
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  let [white, coloured, dark] = [0, 0, 0];
  const pixels = drawn.width * drawn.height;
  for (let at = 0; at < data.length; at += 3) {
    const rgb = [data[at] ?? 0, data[at + 1] ?? 0, data[at + 2] ?? 0];
    const spread = Math.max(...rgb) - Math.min(...rgb);
    if (Math.min(...rgb) > 250) white += 1;
    if (spread > 24) coloured += 1;
    if (Math.max(...rgb) < 110) dark += 1;
  }
  return {
    pages: Number(/Pages:\s+(\d+)/.exec(info)?.[1]),
    isA4: info.includes("(A4)"),
    text: toolSays("pdftotext", "-layout", file, "-").replaceAll(/\s+/gu, " "),
    white: white / pixels,
    coloured: coloured / pixels,
    dark: dark / pixels,
  };
};

const expectBlackOnOneSheet = (paper: Awaited<ReturnType<typeof readPaper>>) => {
  expect(paper.pages).toBe(1);
  expect(paper.isA4).toBe(true);
  expect(paper.white, "paper stays white").toBeGreaterThan(0.8);
  expect(paper.dark, "words are dark").toBeGreaterThan(0.003);
  expect(paper.coloured, "one ink is enough").toBeLessThan(0.001);
};

const print = async (name: string, page: Page) => readPaper(name, await page.pdf({ format: "A4" }));

describe("on paper", () => {
  it("the first-aid sheet is one page in black, with every step done, who wrote it and when it was printed", async () => {
    await vet.go(`/first-aid-sheets/${sheetId}`);
    await vet.page.getByText("Write down", { exact: true }).waitFor();
    const paper = await print("first-aid", vet.page);
    expectBlackOnOneSheet(paper);
    expect(paper.text).toContain("First aid for Test Horse");
    expect(paper.text).toMatch(/Written .*Vera Vet/);
    expect(paper.text).toMatch(PRINTED_AT);
    expect(paper.text).toContain(PHONE);
    expect(paper.text).toContain("Cass Carer");
  });

  it("the door card says in black on one page whom to ring, what is to do and what to mind, and no amounts", async () => {
    const { page, go } = carer;
    await go("/care");
    const horse = page.getByRole("listitem").filter({ hasText: "Test Horse" });
    await horse.getByRole("link", { name: "Door card" }).click();
    await page.getByRole("article", { name: "The card" }).waitFor();
    expect(await violationsOf(page)).toEqual([]);
    const paper = await print("door-card", page);
    expectBlackOnOneSheet(paper);
    for (const words of [
      "Test Horse Test Yard",
      PHONE,
      "+353 1 000 0077",
      "Left fore: feel the pulse and the hoof 2 more times today",
      "Left fore carries more than its share",
      "Do not make this horse walk or turn",
      "Ring the vet at once if you see this",
    ])
      expect(paper.text).toContain(words);
    expect(paper.text).toMatch(/card for \d{1,2} \w+ \d{4}, as it stood at \d{2}:\d{2}/);
    expect(paper.text).toMatch(PRINTED_AT);
    expect(paper.text, "amounts stay where they can be changed").not.toMatch(/\d ?(mg|g|ml)\b/);
  });

  it("the yard's care list is one page in black that names the day and the time it was read", async () => {
    const { page, go } = carer;
    await go("/care");
    await page.getByRole("heading", { name: "Look at these horses" }).waitFor();
    await page.getByRole("heading", { name: "Feet to check twice a day" }).waitFor();
    const paper = await print("care", page);
    expectBlackOnOneSheet(paper);
    for (const horse of day) expect(paper.text).toContain(horse.name);
    expect(paper.text).toMatch(/Care list for .*, as it stood at \d{2}:\d{2}/);
    expect(paper.text).toMatch(PRINTED_AT);
  });

  it("a full day's route is one page in black with every horse, whose day it is and how old it is", async () => {
    const { page, go } = farrier;
    await go("/routes");
    await page.getByText(day[0]?.name ?? "", { exact: true }).waitFor();
    const paper = await print("route", page);
    expectBlackOnOneSheet(paper);
    for (const horse of day) expect(paper.text).toContain(horse.name);
    expect(paper.text).toMatch(/Route of Fintan Farrier on .*, as it stood at \d{2}:\d{2}/);
    expect(paper.text).toMatch(PRINTED_AT);
    expect(paper.text).toContain("Look at the current plan before touching a foot.");
  });

  it("the owner's page is one page in black, no word of a sentence lost, the newest lines first", async () => {
    const { page, go } = owner;
    await go(`/portal/${service.horseId}`);
    await page.getByRole("heading", { name: "Results the vet has read for you" }).waitFor();
    // Words that explain themselves at a press are buttons: they must be on the paper all the same.
    const shown = await page.locator("[aria-haspopup=dialog]").allInnerTexts();
    const paper = await print("owner", page);
    expectBlackOnOneSheet(paper);
    for (const word of shown) expect(paper.text).toContain(word);
    for (const words of ["Test Horse", "The plan for the feet", "Ring us at once if", PHONE])
      expect(paper.text).toContain(words);
    expect(paper.text).toMatch(/older lines? (is|are) on the screen/);
    expect(paper.text).toMatch(PRINTED_AT);
  });

  it("the plan is one page in black with its version and the time it was printed", async () => {
    const { bytes, status } = await bytesFrom(
      service.farrier,
      `/prescriptions/${planId}/page.pdf?paper=A4`,
    );
    expect(status).toBe(200);
    const paper = await readPaper("plan", bytes);
    expectBlackOnOneSheet(paper);
    expect(paper.text).toContain("Rest the back half of the foot on foam.");
    expect(paper.text).toContain("plan 1");
    expect(paper.text).toMatch(/record version \d+/);
    expect(paper.text).toMatch(/Printed \d{1,2} \w{3,4} \d{4}, \d{2}:\d{2}/);
  });
});
