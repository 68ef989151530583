import { DateTime } from "luxon";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { launchBrowser } from "../support/browser.ts";
import {
  group,
  sitDown,
  startLiveService,
  type LiveService,
  type Seat,
} from "../support/dashboard.ts";
import {
  filmOf,
  HARBOUR_DRUM,
  MARL_HOPPER,
  newCase,
  SHAPE,
  THIMBLE,
  type Row,
} from "../support/film-room.ts";
import { bytesFrom, measuredFilm } from "../support/films.ts";
import { toolFolder, toolSays } from "../support/outside-tools.ts";
import type { TestPerson } from "../support/service.ts";

/**
 * Six invented cases through the browser: planned from a measured film, tried out, printed, signed,
 * accepted and carried out; every second one not as planned.
 */
interface Case {
  readonly name: string;
  readonly row: Row;
  readonly shape: (typeof SHAPE)[keyof typeof SHAPE];
  /** Millimetres by which the farrier departs from the planned breakover. */
  readonly departsByMm: number;
}
const CASES: readonly Case[] = [
  { name: "Chronic Founder", row: MARL_HOPPER[0]!, shape: SHAPE.marlHopper, departsByMm: 0 },
  { name: "Second Visit", row: MARL_HOPPER[1]!, shape: SHAPE.marlHopper, departsByMm: 6 },
  { name: "Overdue Mare", row: MARL_HOPPER[3]!, shape: SHAPE.marlHopper, departsByMm: 0 },
  { name: "Small Pony", row: THIMBLE[0]!, shape: SHAPE.thimble, departsByMm: 5 },
  { name: "Flat Foot", row: HARBOUR_DRUM[0]!, shape: SHAPE.harbourDrum, departsByMm: 0 },
  { name: "Nearly There", row: MARL_HOPPER[4]!, shape: SHAPE.marlHopper, departsByMm: 4 },
];

const tools = toolFolder();
let service: LiveService;
let second: TestPerson;
let browser: Browser;
let vet: Seat;
let farrier: Seat;

beforeAll(async () => {
  service = await startLiveService();
  second = await service.personWith("vet", "Second Vet");
  browser = await launchBrowser();
  vet = await sitDown(browser, service, service.vet);
  farrier = await sitDown(browser, service, service.farrier, { width: 390, height: 844 });
});
afterAll(async () => {
  await browser.close();
  await service.close();
  tools.remove();
});

const arrive = async (page: Page, path: RegExp): Promise<string> => {
  await page.waitForURL((url) => path.test(url.pathname));
  return new URL(page.url()).pathname;
};
const dayLabel = (days: number): RegExp => {
  const on = DateTime.now().setZone("Europe/Dublin").plus({ days });
  return new RegExp(`\\b${on.day} ${on.toFormat("LLL")}`);
};
const textOf = async (planPath: string): Promise<string> => {
  const page = await bytesFrom(service.farrier, `${planPath}/page.pdf`);
  expect(page.status).toBe(200);
  const file = tools.write("plan.pdf", page.bytes);
  expect(toolSays("pdfinfo", file)).toMatch(/Pages:\s+1\n/);
  return toolSays("pdftotext", "-layout", file, "-").replaceAll(/\s+/gu, " ");
};
const tenth = (value: number): string => String(Math.round(value * 10) / 10);

describe.each(CASES)("$name", ({ name, row, shape, departsByMm }) => {
  let caseId = "";
  let planPath = "";

  it("is planned from its film: proposed, tried out with another interval, and a draft on paper", async () => {
    caseId = await newCase({ service, second }, name);
    await service.query("UPDATE horses SET reset_interval_days = 28 WHERE name = $1", [name]);
    const yesterday = new Date(Date.now() - 86_400_000).toISOString();
    await measuredFilm(service, caseId, second, filmOf(row, shape), { takenAt: yesterday });
    const { page, go } = vet;
    await go(`/cases/${caseId}/prescriptions/new`);
    await page.getByRole("button", { name: "Load the healthy back half" }).click();
    await page.getByRole("button", { name: "Work out a proposal" }).click();
    planPath = await arrive(page, /^\/prescriptions\/(?!new)[\w-]+$/);
    await page
      .getByRole("img", { name: /The plan drawn on the film/ })
      .first()
      .waitFor();
    const chart = page.getByRole("img", { name: /Breakover ahead of P3 day by day/ });
    const before = await chart.getAttribute("aria-label");
    expect(before).toContain("on day 28");
    const slider = page.getByRole("slider", { name: "Reset after" });
    await slider.fill("35");
    await expect.poll(() => chart.getAttribute("aria-label")).toContain("on day 35");
    expect(await textOf(planPath)).toContain("DRAFT, not signed: do not work from this.");
    const { body } = await service.vet.get(planPath);
    // Trying out keeps nothing.
    expect(body.intervalDays).toBe(28);
  });

  it("is signed, and the page prints the record's own figures", async () => {
    const { page } = vet;
    await service.query("UPDATE sessions SET authenticated_at = now()");
    await page.getByRole("button", { name: "Read back and sign" }).click();
    const dialog = page.getByRole("dialog", { name: /Read back and sign/ });
    await dialog.getByRole("button", { name: /Film 1/ }).click();
    await dialog.getByRole("checkbox", { name: /Left fore/ }).check();
    for (const reason of await dialog.getByLabel("Why you sign all the same").all())
      // oxlint-disable-next-line no-await-in-loop
      await reason.fill("Seen on the horse and spoken over with the farrier.");
    await dialog.getByRole("button", { name: "Sign this plan" }).click();
    await page
      .getByText(/Signed by Vera Vet/)
      .first()
      .waitFor();
    const { body } = await service.vet.get(planPath);
    const [foot] = body.feet;
    const text = await textOf(planPath);
    expect(text).toContain("Plan in force.");
    for (const words of [
      `${tenth(foot.breakoverFromFrogTipMm)} mm`,
      `${tenth(foot.breakoverFromP3TipMm)} mm after`,
      `Toe back at the ground ${tenth(foot.toeBackMm)} mm`,
      `Heels off ${tenth(foot.heelRemoveMm)} mm`,
      `keep at least ${tenth(foot.soleMinMm)} mm`,
    ])
      expect(text).toContain(words.replace("-", "−"));
  });

  it(
    departsByMm === 0
      ? "is accepted and carried out as planned"
      : "is accepted and carried out otherwise, with a reason that reaches the vet at once",
    async () => {
      const { page, go } = farrier;
      await go(planPath);
      await page.getByRole("button", { name: "Accept" }).click();
      await page.getByRole("link", { name: "Record what was done" }).click();
      await page.getByRole("button", { name: /As planned/ }).click();
      if (departsByMm > 0) {
        const field = page.locator('input[name="feet/0/breakoverAfterMm"]');
        await field.fill(String(Number(await field.inputValue()) + departsByMm));
        await page.getByLabel("Why? The vet reads it at once.").fill("The toe broke at the nail.");
      }
      await group(page, "Before").getByText("2 stiff", { exact: false }).click();
      await group(page, "After").getByText("1 shifts weight", { exact: false }).click();
      await page.getByText("Book it now", { exact: true }).click();
      await page.getByRole("button", { name: dayLabel(28) }).click();
      await page.getByRole("button", { name: "Record as done" }).click();
      await arrive(page, /^\/shoeing\/[\w-]+\/records\/[\w-]+$/);
      await page.getByText("Plan and work side by side").waitFor();
      const plan = (await service.vet.get(planPath)).body;
      expect(plan.status).toBe("done");
      const [record] = (await service.vet.get(`/horses/${plan.horseId}/shoeing-records`)).body
        .items;
      expect(record.asPlanned).toBe(departsByMm === 0);
      const notes = (await service.vet.get(`/handoff-notes?caseId=${caseId}`)).body.items;
      const note = notes.find(
        (one: { toRole: string; cause: string }) =>
          one.toRole === "vet" && one.cause === "visit finished",
      );
      expect(note.urgent).toBe(departsByMm > 0);
      if (departsByMm > 0) expect(note.done).toContain("The toe broke at the nail");
      expect(record.comfortBefore.obelGrade).toBeGreaterThan(record.comfortAfter.obelGrade);
    },
  );
});
