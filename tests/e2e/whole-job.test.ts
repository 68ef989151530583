import { writeFileSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { lateromedialKeys } from "@heelward/radiograph/landmarks";
import { phantomFromMeasures } from "@heelward/radiograph/phantom";
import { writeDicom } from "@heelward/radiograph/dicom";
import { DateTime } from "luxon";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  fitted,
  toScreen,
} from "../../apps/web/src/features/radiographs/workbench/machine/viewport.ts";
import { launchBrowser } from "../support/browser.ts";
import { PASSWORD } from "../support/service.ts";
import {
  answer,
  group,
  sitDown,
  startLiveService,
  type LiveService,
  type Seat,
} from "../support/dashboard.ts";

/**
 * The whole job in the browser, with five people at five screens: from the phone call to the next
 * reset. Each part goes on where the one before ended.
 */
const measures = {
  palmarAngleDegrees: 9,
  boneFrontAngleDegrees: 56,
  wallAngleDegrees: 50,
  wallToBoneTopMm: 17,
  wallToBoneBottomMm: 20.6,
  soleTipMm: 16,
  soleWingMm: 24.4,
  founderDistanceMm: 10,
  breakoverDistanceMm: 24,
  solarLengthMm: 54,
  wallSpanMm: 34,
};
const phantom = phantomFromMeasures(measures);
const folder = mkdtempSync(join(tmpdir(), "heelward-e2e-"));
const filmFile = join(folder, "left-fore.dcm");

let service: LiveService;
let browser: Browser;
let vet: Seat;
let farrier: Seat;
let manager: Seat;
let carer: Seat;
let owner: Seat;
let caseId = "";

beforeAll(async () => {
  const yesterday = new Date(Date.now() - 86_400_000).toISOString();
  writeFileSync(
    filmFile,
    writeDicom(phantom.film, {
      horseName: "Test Horse",
      horseId: "1",
      takenOn: yesterday.slice(0, 10),
      takenAtTime: "10:00:00",
      side: "L",
      view: "lateromedial",
    }),
  );
  service = await startLiveService();
  await service.query("UPDATE people SET phone = '+353 1 000 00001' WHERE id = $1", [
    service.vet.id,
  ]);
  browser = await launchBrowser();
  [vet, farrier, manager, carer, owner] = [
    await sitDown(browser, service, service.vet),
    await sitDown(browser, service, service.farrier),
    await sitDown(browser, service, service.manager),
    await sitDown(browser, service, service.carer, { width: 390, height: 844 }),
    await sitDown(browser, service, service.owner, { width: 390, height: 844 }),
  ];
});
afterAll(async () => {
  await browser.close();
  await service.close();
  rmSync(folder, { recursive: true, force: true });
});

/** Waits for the page a person was sent to. */
const arrive = async (page: Page, path: RegExp) => {
  await page.waitForURL((url) => path.test(url.pathname));
  return new URL(page.url()).pathname;
};

describe("from the phone call to the first visit", () => {
  it("asks first whether the horse can get up, and says vet now before any other field", async () => {
    const { page, go } = manager;
    await go("/phone-call");
    await page.getByText("No, it cannot get up").click();
    await page.getByRole("alert").getByText("Vet now").waitFor();
    const alarm = await page.getByRole("alert").boundingBox();
    const field = await page.getByLabel("Who rings").boundingBox();
    expect(alarm?.y ?? 0).toBeLessThan(field?.y ?? 0);
    expect(await page.getByRole("link", { name: /Ring the practice/ }).getAttribute("href")).toBe(
      "tel:+35310000000",
    );
  });

  it("takes the call of a horse that stands, sore in both fronts, and opens an acute case", async () => {
    const { page, go } = manager;
    await go("/phone-call");
    await page.getByText("Yes, it can", { exact: true }).click();
    await page.getByRole("combobox").fill("Test Horse");
    await page.getByRole("option", { name: /Test Horse/ }).click();
    await page.getByLabel("Who rings").fill("Cass Carer");
    await answer(page, "Does it shift its weight from foot to foot?", "Yes");
    await answer(page, "Are the feet warm?", "Yes");
    await page.getByText("Left fore", { exact: true }).click();
    await page.getByText("Right fore", { exact: true }).click();
    await page.getByText("Vet today").waitFor();
    await page.getByRole("button", { name: "Record the call" }).click();
    await page.getByRole("link", { name: "Write the first-aid sheet" }).click();
    caseId = (await arrive(page, /^\/cases\/[\w-]+\/first-aid$/)).split("/")[2] ?? "";
  });

  it("writes a first-aid sheet that opens without signing in and prints on one page", async () => {
    const { page } = manager;
    await answer(page, /Can a front foot be lifted/, "Easily");
    await page.getByLabel("Pads or cotton wool and tape are there").check();
    await page.getByRole("button", { name: "Write the sheet" }).click();
    const link = await page.getByLabel(/Anyone with this link/).inputValue();
    const stranger = await browser.newPage();
    await stranger.goto(link);
    await stranger.getByText("right up to the door").first().waitFor();
    await stranger
      .getByText(/soft pad under the back of each foot/i)
      .first()
      .waitFor();
    const pdf = await stranger.pdf({ format: "A4" });
    expect(pdf.toString("latin1").match(/\/Type\s*\/Page\b/g)).toHaveLength(1);
    await stranger.close();
  });

  it("lets the yard tick the steps on the phone", async () => {
    const { page, go } = carer;
    await go("/");
    await page.getByRole("link", { name: "Finish the checklist" }).first().click();
    await page.getByText("right up to the door", { exact: false }).first().waitFor();
    const open = page.getByRole("button", { name: "Done", exact: true });
    const before = await open.count();
    expect(before).toBeGreaterThan(4);
    await open.first().click();
    await expect.poll(() => open.count()).toBe(before - 1);
  });

  it("shows the vet the unseen horse first and takes the examination", async () => {
    const { page, go } = vet;
    await go("/");
    await page.getByRole("link", { name: "Open the case" }).first().click();
    await arrive(page, /^\/cases\/[\w-]+$/);
    await go(`/cases/${caseId}/examine`);
    await page.getByLabel("Obel grade").selectOption("2");
    await page.getByLabel(/Five-sign score/).fill("8");
    await page.getByLabel(/Heart rate/).fill("48");
    await page.getByRole("button", { name: /Record|Save/ }).click();
    await arrive(page, /^\/cases\/[\w-]+$/);
    await page.getByRole("tab").first().waitFor();
  });
});

/** Clicks a point of the film at its place on the screen, the whole film fitted into the stage. */
const clickOnFilm = async (page: Page, at: { x: number; y: number }) => {
  const stage = page.getByRole("application");
  await stage.scrollIntoViewIfNeeded();
  const box = await stage.boundingBox();
  if (box === null) throw new Error("the film is not on the screen");
  const inner = await stage.evaluate((element) => ({
    width: element.clientWidth,
    height: element.clientHeight,
    left: element.clientLeft,
    top: element.clientTop,
  }));
  const view = fitted({ width: phantom.film.widthPx, height: phantom.film.heightPx }, inner);
  const shown = toScreen(view, at);
  await page.mouse.click(box.x + inner.left + shown.x, box.y + inner.top + shown.y);
};

describe("the film", () => {
  let filmPath = "";
  it("is uploaded as a DICOM file and opens at once", async () => {
    const { page, go } = vet;
    await go(`/cases/${caseId}/films/new`);
    await page.getByLabel(/Choose a film/).setInputFiles(filmFile);
    await page.getByText("Left fore", { exact: true }).click();
    await page.getByRole("button", { name: "Add this film" }).click();
    filmPath = await arrive(page, /^\/films\/[\w-]+$/);
    await page.getByRole("application").waitFor();
  });

  it("is given its scale by the marker of known length", async () => {
    const { page } = vet;
    await page.getByRole("button", { name: "Scale" }).click();
    const dialog = page.getByRole("dialog");
    await dialog.getByText("a marker of known length", { exact: true }).click();
    await dialog.getByLabel("True length of the marker").fill("100");
    await dialog.getByRole("button", { name: "Save" }).click();
    await dialog.waitFor({ state: "hidden" });
  });

  it("is marked point by point, and its measures lie within their own uncertainty of the truth", async () => {
    const { page } = vet;
    await page.getByText(/^0 of \d+ placed/).waitFor();
    for (const key of lateromedialKeys) {
      const at = phantom.landmarksPx[key];
      // One point after the other, as a person does it.
      // oxlint-disable-next-line no-await-in-loop
      if (at !== undefined) await clickOnFilm(page, at);
    }
    await page.getByRole("button", { name: "Keep these marks" }).click();
    await page.getByRole("button", { name: "Keep these marks" }).waitFor({ state: "hidden" });
    const { body } = await service.vet.get(
      `${filmPath.replace("/films/", "/radiographs/")}/landmark-sets`,
    );
    const valueOf = (key: string) =>
      body.items[0].measurements.find((one: { key: string }) => one.key === key);
    for (const [key, truth] of [
      ["soleDepthTip", phantom.truth.soleTipMm],
      ["palmarAngleGround", phantom.truth.palmarAngleDegrees],
      ["capsularRotation", phantom.truth.capsularRotationDegrees],
      ["breakoverDistance", phantom.truth.breakoverDistanceMm],
    ] as const) {
      const { value, standardUncertainty } = valueOf(key);
      expect(Math.abs(value - truth), `${key} ${value} ${truth}`).toBeLessThan(
        3 * standardUncertainty,
      );
    }
  });

  it("has its side confirmed by the farrier, not by the vet who marked it", async () => {
    const { page, go } = farrier;
    await go(filmPath);
    await page.getByText("Left fore", { exact: true }).last().click();
    await page.getByRole("button", { name: "Confirm this side" }).click();
    await page.getByText(/confirmed by Fintan Farrier/i).waitFor();
  });
});

/** How a button of the farrier's form names the day some days ahead. */
const dayLabel = (days: number): RegExp => {
  const on = DateTime.now().setZone("Europe/Dublin").plus({ days });
  return new RegExp(`\\b${on.day} ${on.toFormat("LLL")}`);
};

/** Types the password once more where the service asks for it before a signature. */
const signWithPassword = async (page: Page) => {
  const dialog = page.getByRole("dialog", { name: "Confirm it is you" });
  await dialog.getByLabel("Password").fill(PASSWORD);
  await dialog.getByRole("button", { name: "Confirm" }).click();
};

describe("the plan", () => {
  let planPath = "";

  it("is begun once the vet has moved the case on, with a note that goes to the farrier", async () => {
    const { page, go } = vet;
    await go(`/cases/${caseId}`);
    await page.getByRole("button", { name: "Change the phase" }).click();
    const dialog = page.getByRole("dialog");
    await dialog.getByText("Chronic, active", { exact: true }).click();
    await dialog.getByLabel("Why").fill("The bone has moved in its capsule on the film of today.");
    await dialog.getByLabel("What they must do").fill("Bring wide rolled shoes in two sizes.");
    await dialog.getByRole("button", { name: "Save" }).click();
    await dialog.waitFor({ state: "hidden" });
  });

  it("is worked out from the film and drawn on it, and says on paper that it is a draft", async () => {
    const { page, go } = vet;
    await go(`/cases/${caseId}/prescriptions/new`);
    await page.getByRole("button", { name: "Load the healthy back half" }).click();
    await page.getByRole("button", { name: "Work out a proposal" }).click();
    planPath = await arrive(page, /^\/prescriptions\/[\w-]+$/);
    await page
      .getByRole("img", { name: /The plan drawn on the film/ })
      .first()
      .waitFor();
    const warning = page.getByText("DRAFT, not signed: do not work from this");
    await page.emulateMedia({ media: "print" });
    await warning.filter({ visible: true }).first().waitFor();
    await page.emulateMedia({ media: "screen" });
    const { body } = await service.vet.get(planPath);
    expect(body).toMatchObject({ status: "draft", feet: [{ foot: "LF" }], intervalDays: 28 });
    expect(body.feet[0].palmarAngleTargetDegrees).toMatchObject({ low: 3, high: 5 });
  });

  it("is signed only with the film opened, the figures read back and the password typed", async () => {
    const { page } = vet;
    await page.getByRole("button", { name: "Read back and sign" }).click();
    const dialog = page.getByRole("dialog", { name: /Read back and sign/ });
    const sign = dialog.getByRole("button", { name: "Sign this plan" });
    expect(await sign.isDisabled()).toBe(true);
    await dialog.getByRole("button", { name: /Film 1/ }).click();
    await dialog.getByRole("checkbox", { name: /Left fore/ }).check();
    for (const reason of await dialog.getByLabel("Why you sign all the same").all())
      // oxlint-disable-next-line no-await-in-loop
      await reason.fill("Seen on the horse and spoken over with the farrier.");
    // Nobody typed the password for an hour: the signature asks for it again.
    await service.query(
      "UPDATE sessions SET authenticated_at = authenticated_at - interval '1 hour'",
    );
    await sign.click();
    await signWithPassword(page);
    await page
      .getByText(/Signed by Vera Vet/)
      .first()
      .waitFor();
  });

  it("stands in the farrier's queue, is accepted, and is recorded as done with the next date", async () => {
    const { page, go } = farrier;
    await go("/");
    await page.getByRole("link", { name: "Answer the plan" }).first().click();
    await arrive(page, /^\/prescriptions\/[\w-]+$/);
    // The direct line: one tap, and a note of the call is offered.
    const call = page.getByRole("link", { name: "Ring Vera Vet" });
    expect(await call.getAttribute("href")).toBe("tel:+353100000001");
    await call.evaluate((link) => link.addEventListener("click", (tap) => tap.preventDefault()));
    await call.click();
    await page.getByRole("button", { name: "Write a note of this call" }).waitFor();
    await page.getByRole("button", { name: "Accept" }).click();
    await page.getByRole("link", { name: "Record what was done" }).click();
    await page.getByRole("button", { name: /As planned/ }).click();
    await group(page, "Before").getByText("2 stiff", { exact: false }).click();
    await group(page, "After").getByText("1 shifts weight", { exact: false }).click();
    await page.getByText("Book it now", { exact: true }).click();
    await page.getByRole("button", { name: dayLabel(28) }).click();
    await page.getByRole("button", { name: "Record as done" }).click();
    await arrive(page, /^\/shoeing\/[\w-]+\/records\/[\w-]+$/);
    await page.getByText("Plan and work side by side").waitFor();
    expect((await service.vet.get(planPath)).body.status).toBe("done");
  });

  it("has booked the next reset between four and five weeks ahead", async () => {
    const { page, go } = manager;
    await go("/resets");
    await page.getByText("Test Horse").first().waitFor();
    const { body } = await service.manager.get(`/resets?horseId=${service.horseId}`);
    const [next] = body.items.filter((one: { state: string }) => one.state !== "done");
    const days = (Date.parse(next.bookedFor) - Date.now()) / 86_400_000;
    expect(days).toBeGreaterThan(27);
    expect(days).toBeLessThanOrEqual(35);
  });
});

describe("pain relief", () => {
  it("needs a weight first: the vet weighs by girth and length", async () => {
    const { page, go } = vet;
    await go(`/horses/${service.horseId}`);
    await page.getByRole("button", { name: "Weigh" }).first().click();
    const dialog = page.getByRole("dialog");
    await dialog.getByText("Girth and length", { exact: false }).first().click();
    await dialog.getByRole("textbox", { name: /^Girth/ }).fill("190");
    await dialog.getByRole("textbox", { name: /^Length/ }).fill("165");
    await dialog.getByRole("button", { name: "Save" }).click();
    await dialog.getByRole("button", { name: "Close" }).last().click();
  });

  it("needs the passport: a vet has seen that the horse is out of the food chain", async () => {
    const { page } = vet;
    await page.getByRole("button", { name: "Record the passport" }).click();
    const dialog = page.getByRole("dialog");
    await group(dialog, "What the passport says")
      .getByText(/^Out of/)
      .click();
    await dialog.getByRole("button", { name: "Save" }).click();
    await dialog.waitFor({ state: "hidden" });
  });

  it("does not let a course above the limit be signed, and says why in figures", async () => {
    const { page, go } = vet;
    await go(`/medication/${service.horseId}/new`);
    await page.getByRole("combobox", { name: "Medicine" }).selectOption("phenylbutazone");
    await page.getByLabel("Measured as").selectOption({ index: 1 });
    await page.getByLabel("Aim for each dose").fill("6");
    await page
      .getByText("Cannot be signed as it stands")
      .filter({ visible: true })
      .first()
      .waitFor();
  });

  it("is signed from the label, and stands on the yard's list of today", async () => {
    const { page } = vet;
    await page.getByRole("button", { name: "Start from the label" }).click();
    const now = DateTime.now().setZone("Europe/Dublin");
    const times = page.getByLabel("Times at the yard");
    for (const [index, field] of (await times.all()).entries())
      // oxlint-disable-next-line no-await-in-loop
      await field.fill(now.plus({ hours: index % 2 === 0 ? 0 : 12 }).toFormat("HH:mm"));
    await page
      .getByText(/May be signed/)
      .filter({ visible: true })
      .first()
      .waitFor();
    await page.getByRole("button", { name: "Save the draft" }).click();
    await arrive(page, /^\/courses\/[\w-]+$/);
    await page.getByRole("button", { name: "Sign", exact: true }).click();
    const dialog = page.getByRole("dialog");
    for (const reason of await dialog.getByLabel(/Your reason/).all())
      // oxlint-disable-next-line no-await-in-loop
      await reason.fill("Pain at Obel grade 2; reviewed in two days.");
    await dialog.getByRole("button", { name: "Sign the course" }).click();
    await dialog.waitFor({ state: "hidden" });
    await page
      .getByText(/Signed by Vera Vet/)
      .first()
      .waitFor();
  });

  it("is given once by the carer, with one tap, and a second time is refused", async () => {
    const { page, go } = carer;
    await go("/care");
    const due = page.getByRole("listitem").filter({ hasText: "Due now" });
    await due.getByRole("button", { name: "Given", exact: true }).click();
    await due.waitFor({ state: "hidden" });
    const [course] = (await service.vet.get(`/horses/${service.horseId}/courses`)).body.items;
    const [given] = (await service.vet.get(`/horses/${service.horseId}/doses`)).body.items;
    const again = await service.carer.send("post", `/courses/${course.id}/doses`, {
      scheduledAt: given.scheduledAt,
      givenAt: given.givenAt,
      outcome: "given",
    });
    expect(again.status).toBeGreaterThanOrEqual(409);
    expect(again.body.title).toBeDefined();
    const { body } = await service.vet.get(`/horses/${service.horseId}/doses`);
    expect(body.items.filter((one: { outcome: string }) => one.outcome === "given")).toHaveLength(
      1,
    );
  });
});

describe("what everybody is told", () => {
  it("stays open until each of them has acknowledged it", async () => {
    for (const seat of [farrier, carer, vet]) {
      // One person after the other; a button goes as it is pressed.
      // oxlint-disable no-await-in-loop
      await seat.go("/handoffs");
      await seat.page.getByRole("heading", { level: 1 }).waitFor();
      const buttons = seat.page.getByRole("button", { name: "Read, will act" });
      await buttons.first().waitFor();
      for (let left = await buttons.count(); left > 0; left -= 1) {
        await buttons.first().click();
        await expect.poll(() => buttons.count()).toBe(left - 1);
      }
      // oxlint-enable no-await-in-loop
    }
    const { body } = await service.manager.get("/handoff-notes?state=open");
    const stillOpen = body.items.filter((one: { toRole: string }) => one.toRole !== "manager");
    expect(stillOpen).toEqual([]);
  });

  it("reaches the owner in plain words: the plan, the next visit, no raw film, nothing to change", async () => {
    const { page, go } = owner;
    await go("/");
    await go(`/portal/${service.horseId}`);
    const main = page.getByRole("main");
    await main.getByText("The plan for the feet").waitFor();
    await main.getByText("What happens next").waitFor();
    const words = await main.innerText();
    expect(words).not.toMatch(/capsularRotation|mg\/kg|overdue/i);
    await go(`/cases/${caseId}`);
    await page.getByText("This page is not part of your role", { exact: false }).first().waitFor();
    const refusals = [
      await service.owner.send("post", `/cases/${caseId}/prescriptions`, {}),
      await service.owner.send("post", `/horses/${service.horseId}/courses`, {}),
      await service.owner.send("post", `/horses/${service.horseId}/weighings`, {}),
      await service.owner.get(`/cases/${caseId}/radiographs`),
    ];
    for (const refused of refusals) {
      expect([403, 404]).toContain(refused.status);
      expect(refused.type).toBe("application/problem+json");
    }
  });
});
