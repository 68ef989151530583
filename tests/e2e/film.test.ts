import { frontPhantomFromMeasures } from "@heelward/radiograph/phantom";
import { writeDicom } from "@heelward/radiograph/dicom";
import type { Browser, Locator, Page } from "playwright-core";
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { wcagFaultsOf } from "../support/accessibility.ts";
import { launchBrowser } from "../support/browser.ts";
import { sitDown, startLiveService, type LiveService, type Seat } from "../support/dashboard.ts";
import { measuredFilm, renderedFilm, type Points } from "../support/films.ts";
import type { TestPerson } from "../support/service.ts";
import { uploadFilm } from "../support/uploads.ts";

/** The film bench in Chromium: hands, keys and fingers on films whose truth is known by construction. */
const MEASURES = {
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
const PITCH_MM = 0.25;
const size = (pitch: number) => ({
  widthPx: Math.round(204 / pitch),
  heightPx: Math.round(170 / pitch),
  detectorPitchMm: pitch,
});
const film = renderedFilm(MEASURES, { render: { ...size(PITCH_MM), seed: 5 } });
/** The same foot on a plate of another pitch, as another machine gives it. */
const sameFoot = renderedFilm(MEASURES, { render: { ...size(0.2), seed: 6 } });

let service: LiveService;
let browser: Browser;
let second: TestPerson;
let caseId: string;
let filmId: string;
let earlierId: string;
let vet: Seat;

const daysAgo = (days: number): string => new Date(Date.now() - days * 86_400_000).toISOString();
const CENTRED = { beamCentring: "hoof-ground interface" };

beforeAll(async () => {
  service = await startLiveService();
  second = await service.personWith("vet", "Second Vet");
  caseId = (
    await service.vet.send("post", "/cases", { horseId: service.horseId, phase: "chronic active" })
  ).body.id;
  earlierId = await measuredFilm(service, caseId, second, sameFoot, {
    takenAt: daysAgo(30),
    ...CENTRED,
  });
  filmId = await measuredFilm(service, caseId, second, film, { takenAt: daysAgo(1), ...CENTRED });
  browser = await launchBrowser();
  vet = await sitDown(browser, service, service.vet);
});
afterAll(async () => {
  await browser.close();
  await service.close();
});

const markOf = (page: Page, key: string): Locator => page.locator(`[data-mark="${key}"]`);

/** A busy machine draws a frame a second. */
const PATIENT = { timeout: 30_000 };

/** Where a mark is on the screen just now. */
const placeNow = async (page: Page, key: string): Promise<{ x: number; y: number }> => {
  const box = await markOf(page, key).locator("circle").first().boundingBox();
  if (box === null) throw new Error(`${key} is not on the screen`);
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
};

/** Where a mark is on the screen once the page has found its shape. */
const placeOf = async (page: Page, key: string): Promise<{ x: number; y: number }> => {
  let before = await placeNow(page, key);
  await expect
    .poll(async () => {
      const now = await placeNow(page, key);
      const isStill = now.x === before.x && now.y === before.y;
      before = now;
      return isStill;
    }, PATIENT)
    .toBe(true);
  return before;
};

/** CSS pixels per film pixel, from two marks far apart whose film places are known. */
const zoomOf = async (page: Page, points: Points): Promise<number> => {
  const [a, b] = [await placeOf(page, "groundToe"), await placeOf(page, "groundHeel")];
  const [p, q] = [points["groundToe"]!, points["groundHeel"]!];
  return Math.hypot(b.x - a.x, b.y - a.y) / Math.hypot(q.x - p.x, q.y - p.y);
};

const open = async ({ page, go }: Seat, path: string): Promise<Page> => {
  await go(path);
  await page.locator("canvas[data-drawn-by]").first().waitFor();
  // Letters that arrive late move everything below them.
  await page.evaluate(async () => {
    await document.fonts.ready;
  });
  return page;
};

const dragMark = async (page: Page, key: string, by: { x: number; y: number }): Promise<void> => {
  const at = await placeOf(page, key);
  await page.mouse.move(at.x, at.y);
  await page.mouse.down();
  await page.mouse.move(at.x + by.x / 2, at.y + by.y / 2, { steps: 4 });
  await page.mouse.move(at.x + by.x, at.y + by.y, { steps: 4 });
  // It lies under the hand before the hand lets go.
  await expect
    .poll(async () => {
      const now = await placeNow(page, key);
      return Math.hypot(now.x - at.x - by.x, now.y - at.y - by.y);
    }, PATIENT)
    .toBeLessThan(1);
};

/** Marks of the film on record, newest first. */
const setsOf = async (id: string) =>
  (await service.vet.get(`/radiographs/${id}/landmark-sets`)).body.items as { points: Points }[];

/** Throws away what was moved, so that the next test starts from what is on record. */
const leave = async (page: Page): Promise<void> => {
  const undo = page.getByRole("button", { name: "Undo", exact: true });
  while (await undo.isEnabled()) await undo.click();
};

describe("a mark under the hand", () => {
  it("is dragged under a magnifier and comes to lie where it was let go, to a fraction of a pixel", async () => {
    const page = await open(vet, `/films/${filmId}`);
    await markOf(page, "p3Tip").waitFor();
    const zoom = await zoomOf(page, film.points);
    await dragMark(page, "p3Tip", { x: 6, y: -4 });
    const loupe = page.locator("[data-loupe]");
    await loupe.waitFor();
    expect(Number(await loupe.getAttribute("data-loupe"))).toBeGreaterThanOrEqual(3 * zoom);
    await page.mouse.up();
    await loupe.waitFor({ state: "detached" });
    await page.getByRole("button", { name: "Keep these marks" }).click();
    await page.getByRole("button", { name: "Keep these marks" }).waitFor({ state: "hidden" });
    const [now] = await setsOf(filmId);
    const before = film.points["p3Tip"]!;
    expect(now?.points["p3Tip"]?.x).toBeCloseTo(before.x + 6 / zoom, 1);
    expect(now?.points["p3Tip"]?.y).toBeCloseTo(before.y - 4 / zoom, 1);
    for (const key of Object.keys(film.points).filter((one) => one !== "p3Tip"))
      expect(now?.points[key]?.x, key).toBeCloseTo(film.points[key]!.x, 6);
  });

  it("moves by a quarter of a pixel with an arrow key and by two with Shift, and undo takes it back", async () => {
    const page = await open(vet, `/films/${filmId}`);
    await markOf(page, "wallDistal").waitFor();
    const [before] = await setsOf(filmId);
    const at = await placeOf(page, "wallDistal");
    await page.mouse.click(at.x, at.y);
    await page.locator('[data-asked="wallDistal"]').waitFor();
    await page.getByRole("application").focus();
    for (const key of ["ArrowRight", "ArrowRight", "ArrowDown", "Shift+ArrowDown"])
      await page.keyboard.press(key);
    await page.getByRole("button", { name: "Keep these marks" }).click();
    await page.getByRole("button", { name: "Keep these marks" }).waitFor({ state: "hidden" });
    const [now] = await setsOf(filmId);
    const was = before!.points["wallDistal"]!;
    expect(now?.points["wallDistal"]?.x).toBeCloseTo(was.x + 0.5, 1);
    expect(now?.points["wallDistal"]?.y).toBeCloseTo(was.y + 2.25, 1);
    await page.getByRole("application").focus();
    await page.keyboard.press("Control+z");
    await page.getByRole("button", { name: "Keep these marks" }).click();
    await page.getByRole("button", { name: "Keep these marks" }).waitFor({ state: "hidden" });
    expect((await setsOf(filmId))[0]?.points["wallDistal"]?.x).toBeCloseTo(was.x, 6);
  });

  it("is laid onto the film's own edge, says by how much, and is put back in one tap", async () => {
    const page = await open(vet, `/films/${filmId}`);
    await markOf(page, "groundToe").waitFor();
    // Under a millimetre off the ground line, whatever the size of the page: within the reach of the
    // search. Along the line far enough for the hand to be taken as dragging.
    const awayPx = (0.9 / PITCH_MM) * (await zoomOf(page, film.points));
    await dragMark(page, "groundToe", { x: 8, y: awayPx });
    await page.mouse.up();
    const dragged = await placeOf(page, "groundToe");
    await page.getByRole("button", { name: "Find edges" }).click();
    await page.getByText(/points? moved onto/).waitFor();
    const awayNow = async () => Math.abs((await placeNow(page, "groundToe")).y - dragged.y);
    await expect.poll(awayNow, PATIENT).toBeGreaterThan(awayPx / 2);
    await page.getByRole("button", { name: "Put them back" }).click();
    await expect.poll(awayNow, PATIENT).toBeLessThan(awayPx / 10);
    await leave(page);
  });
});

describe("fingers on a phone", () => {
  it("drag a mark, and two of them bring the film nearer", async () => {
    const context = await browser.newContext({
      viewport: { width: 390, height: 844 },
      baseURL: service.url,
      hasTouch: true,
      storageState: await vet.page.context().storageState(),
      reducedMotion: "reduce",
      locale: "en-GB",
      timezoneId: "Europe/Dublin",
    });
    const page = await context.newPage();
    await page.goto(`/films/${filmId}`);
    await markOf(page, "p3Wing").waitFor();
    await page.getByRole("application").scrollIntoViewIfNeeded();
    const session = await context.newCDPSession(page);
    const touch = (
      type: "touchStart" | "touchMove" | "touchEnd",
      points: { x: number; y: number }[],
    ) =>
      session.send("Input.dispatchTouchEvent", {
        type,
        touchPoints: points.map((point, id) => ({ ...point, id })),
      });
    const zoom = await zoomOf(page, film.points);
    const at = await placeOf(page, "p3Wing");
    await touch("touchStart", [at]);
    for (const step of [2, 6, 10, 12]) await touch("touchMove", [{ x: at.x + step, y: at.y }]);
    await page.locator("[data-loupe]").waitFor();
    await touch("touchEnd", []);
    await expect
      .poll(async () => (await placeNow(page, "p3Wing")).x - at.x, PATIENT)
      .toBeCloseTo(12, 0);
    const box = (await page.getByRole("application").boundingBox())!;
    const middle = { x: box.x + box.width / 2, y: box.y + 12 };
    const pair = (span: number) => [
      { x: middle.x - span, y: middle.y },
      { x: middle.x + span, y: middle.y },
    ];
    await touch("touchStart", pair(20));
    for (const span of [24, 30, 36, 40]) await touch("touchMove", pair(span));
    await touch("touchEnd", []);
    await expect.poll(() => zoomOf(page, film.points), PATIENT).toBeGreaterThan(1.6 * zoom);
    await context.close();
  });
});

describe("two films of one foot", () => {
  /** Grey values of the middle of a stage on the screen. */
  const greyOf = async (page: Page, stage: Locator) => {
    const box = (await stage.boundingBox())!;
    const picture = await page.screenshot({
      clip: {
        x: box.x + box.width / 4,
        y: box.y + box.height / 4,
        width: box.width / 2,
        height: box.height / 2,
      },
    });
    return sharp(picture)
      .removeAlpha()
      .greyscale()
      .blur(4)
      .raw()
      .toBuffer({ resolveWithObject: true });
  };
  const meanDifference = (
    a: Awaited<ReturnType<typeof greyOf>>,
    b: Awaited<ReturnType<typeof greyOf>>,
    shift = 0,
  ): number => {
    let sum = 0;
    const { width, height } = a.info;
    for (let y = 0; y < height; y += 1)
      for (let x = 0; x < width - shift; x += 1)
        sum += Math.abs(a.data[y * width + x]! - b.data[y * width + x + shift]!);
    return sum / (height * (width - shift));
  };

  it("lie bone on bone when laid over each other, though their plates differ", async () => {
    const page = await open(
      vet,
      `/cases/${caseId}/films/compare?after=${filmId}&before=${earlierId}&how=over`,
    );
    const share = page.getByRole("slider");
    const stage = page.locator("canvas[data-drawn-by]").first().locator("..");
    await page.locator("canvas[data-drawn-by]").nth(1).waitFor();
    const shown = async (value: string) => {
      await share.fill(value);
      return greyOf(page, stage);
    };
    const [before, after] = [await shown("0"), await shown("100")];
    // Laid exactly the two pictures differ by noise alone; sixteen screen pixels off they differ by edges too.
    expect(meanDifference(before, after)).toBeLessThan(0.6 * meanDifference(before, after, 16));
    const [small, large] = [sameFoot.phantom.mmPerPx, film.phantom.mmPerPx];
    expect(small / large).toBeLessThan(0.85);
  });

  it("stand side by side with the bone at one size and move together", async () => {
    const page = await open(
      vet,
      `/cases/${caseId}/films/compare?after=${filmId}&before=${earlierId}`,
    );
    const stages = page.locator("canvas[data-drawn-by]");
    await stages.nth(1).waitFor();
    const [left, right] = [stages.nth(0).locator(".."), stages.nth(1).locator("..")];
    const before = await greyOf(page, left);
    const box = (await right.boundingBox())!;
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.wheel(0, -400);
    await expect
      .poll(async () => meanDifference(before, await greyOf(page, left)))
      .toBeGreaterThan(3);
    await page.getByText("not clearly different").first().waitFor();
  });
});

describe("leaving", () => {
  it("asks inside the dashboard before marks that are not kept are lost", async () => {
    const page = await open(vet, `/films/${filmId}`);
    await markOf(page, "p3Wing").waitFor();
    await dragMark(page, "p3Wing", { x: 8, y: 0 });
    await page.mouse.up();
    const moved = await placeOf(page, "p3Wing");
    await page.getByRole("button", { name: "Keep these marks" }).waitFor();
    await page.getByRole("link", { name: "All films" }).click();
    const dialog = page.getByRole("dialog", { name: "Leave without keeping?" });
    await dialog.getByRole("button", { name: "Stay here" }).click();
    expect(new URL(page.url()).pathname).toBe(`/films/${filmId}`);
    expect(Math.abs((await placeOf(page, "p3Wing")).x - moved.x)).toBeLessThan(2);
    await page.getByRole("link", { name: "All films" }).click();
    await dialog.getByRole("button", { name: "Leave all the same" }).click();
    await page.waitForURL(`**/cases/${caseId}/films`);
  });
});

describe("marks that cannot be right", () => {
  it("are said to be so once, before they are kept: the bone does not bend", async () => {
    const page = await open(vet, `/films/${filmId}`);
    await markOf(page, "p3Wing").waitFor();
    const zoom = await zoomOf(page, film.points);
    // 4 degrees about the tip over 54 mm of bone.
    const up = (54 * Math.tan((4 * Math.PI) / 180)) / film.phantom.mmPerPx;
    await dragMark(page, "p3Wing", { x: 0, y: -up * zoom });
    await page.mouse.up();
    await page.getByText(/bone angle does not match earlier films/).waitFor();
    expect(await page.getByText(/bone angle does not match earlier films/).count()).toBe(1);
    expect(await page.getByRole("button", { name: "Keep these marks" }).isDisabled()).toBe(true);
    await leave(page);
  });
});

describe("drawing on the film", () => {
  const HEEL: readonly string[] = ["groundHeel", "groundToe"];

  it("puts a drawn line in the same place of the film on a desk and on a phone", async () => {
    const farrier = await sitDown(browser, service, service.farrier);
    const { page } = farrier;
    await open(farrier, `/films/${filmId}`);
    await page.getByRole("button", { name: "Trim line" }).click();
    const stage = page.getByRole("application");
    const box = (await stage.boundingBox())!;
    await page.mouse.click(box.x + box.width * 0.4, box.y + box.height * 0.7);
    await page.mouse.click(box.x + box.width * 0.6, box.y + box.height * 0.72);
    await page.getByLabel(/Words beside it/).fill("heels to here");
    await page.getByRole("button", { name: "Keep this drawing" }).click();
    const drawing = page.locator("[data-drawing] polyline").last();
    await drawing.waitFor();
    const { body } = await service.vet.get(`/radiographs/${filmId}/outlines`);
    const drawn = body.items[0].points as { x: number; y: number }[];
    const toStage = async (on: Page) => {
      const text =
        (await on.locator("[data-drawing] polyline").last().getAttribute("points")) ?? "";
      return text.split(" ").map((one) => one.split(",").map(Number) as [number, number]);
    };
    const small = await sitDown(browser, service, service.vet, { width: 390, height: 844 });
    await open(small, `/films/${filmId}`);
    await markOf(small.page, "groundToe").waitFor();
    await open(vet, `/films/${filmId}`);
    await markOf(vet.page, "groundToe").waitFor();
    for (const on of [vet.page, small.page]) {
      await on.locator("[data-drawing] polyline").last().waitFor();
      const shown = await toStage(on);
      const stageBox = (await on.getByRole("application").boundingBox())!;
      const zoom = await zoomOf(on, film.points);
      const mark = await placeOf(on, HEEL[0]!);
      const heel = (await setsOf(filmId))[0]!.points[HEEL[0]!]!;
      for (const [index, point] of drawn.entries()) {
        // From the mark, whose place on film and screen is known, by the zoom.
        const expected = {
          x: mark.x - stageBox.x + (point.x - heel.x) * zoom,
          y: mark.y - stageBox.y + (point.y - heel.y) * zoom,
        };
        expect(Math.abs(shown[index]![0] - expected.x)).toBeLessThan(1);
        expect(Math.abs(shown[index]![1] - expected.y)).toBeLessThan(1);
      }
    }
    await small.close();
    await farrier.close();
  });

  it("measures an outlined shadow, and ties it to an opening that a vet alone may sign", async () => {
    const page = await open(vet, `/films/${filmId}`);
    await markOf(page, "coronaryBand").waitFor();
    const [a, b] = [await placeOf(page, "coronaryBand"), await placeOf(page, "wallDistal")].map(
      (point) => point,
    ) as [{ x: number; y: number }, { x: number; y: number }];
    const zoom = await zoomOf(page, film.points);
    await page.getByRole("button", { name: "Dark shadow" }).click();
    const perMm = zoom / film.phantom.mmPerPx;
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    const along = { x: (b.x - a.x) / length, y: (b.y - a.y) / length };
    const at = (alongMm: number, acrossMm: number) => ({
      x: a.x + perMm * (along.x * alongMm - along.y * acrossMm),
      y: a.y + perMm * (along.y * alongMm + along.x * acrossMm),
    });
    // A rectangle of 14 by 4 mm that starts 10 mm below the coronary band, 4 mm behind the wall.
    for (const [alongMm, acrossMm] of [
      [10, 4],
      [24, 4],
      [24, 8],
      [10, 8],
    ] as const) {
      const point = at(alongMm, acrossMm);
      await page.mouse.click(point.x, point.y);
    }
    await page.getByRole("button", { name: "Keep this drawing" }).click();
    await page.getByRole("button", { name: "Keep this drawing" }).waitFor({ state: "hidden" });
    const figure = async (key: string) =>
      Number.parseFloat((await page.locator(`[data-extent="${key}"] dd`).textContent()) ?? "");
    // Plane geometry of the rectangle; a click is good to a screen pixel.
    expect(await figure("lucentExtentAlongWall")).toBeCloseTo(14, 0);
    expect(await figure("lucentStart")).toBeCloseTo(10, 0);
    expect(Math.abs((await figure("area")) - 56)).toBeLessThan(6);

    const farrier = await sitDown(browser, service, service.farrier);
    await open(farrier, `/films/${filmId}`);
    await farrier.page.getByRole("button", { name: "Ask for drainage or resection" }).click();
    const asking = farrier.page.getByRole("dialog");
    await asking.getByLabel("Why").fill("Pulses bounding, sore to the tester over the shadow.");
    await asking.getByRole("button", { name: "Ask for drainage or resection" }).click();
    await farrier.page.getByText("Only a vet may sign this", { exact: false }).waitFor();
    expect(await farrier.page.getByRole("button", { name: "Sign the order" }).count()).toBe(0);
    await farrier.close();

    await open(vet, `/films/${filmId}`);
    await page.getByRole("button", { name: "Sign the order" }).click();
    const signing = page.getByRole("dialog", { name: "Sign the order" });
    await signing.getByLabel("Who consented").fill("Odo Owner");
    await signing
      .getByLabel(/What was explained/)
      .fill("Risks, cost, and waiting as the other way.");
    await signing.getByLabel("Aftercare").fill("Poultice twice a day\nKeep the box dry");
    await signing.getByRole("button", { name: "Sign the order" }).click();
    await signing.waitFor({ state: "hidden" });
    await page.getByText("Poultice twice a day; Keep the box dry").waitFor();
  });
});

describe("the repeat-reading study", () => {
  it("has a film marked blind: no earlier mark, no figure, and the film's own measures stay", async () => {
    const before = (await setsOf(filmId)).length;
    const page = await open(vet, `/films/${filmId}/second-reading`);
    await page.getByText(/^0 of \d+ placed/).waitFor();
    expect(await page.locator("[data-mark]").count()).toBe(0);
    expect(await page.getByRole("heading", { name: "Measures" }).count()).toBe(0);
    const box = (await page.getByRole("application").boundingBox())!;
    for (const part of [0.3, 0.5, 0.6])
      await page.mouse.click(box.x + box.width * part, box.y + box.height * 0.6);
    await page.getByRole("button", { name: "Keep this reading" }).click();
    await page
      .getByText("You have read this film 1 time for the study.", { exact: false })
      .waitFor();
    expect(await setsOf(filmId)).toHaveLength(before);
  });

  it("shows the clinical lead the reading error of each measure beside what is in use", async () => {
    const shaky = (seed: number): Points =>
      Object.fromEntries(
        Object.entries(film.points).map(([key, { x, y }], index) => [
          key,
          { x: x + 0.8 * Math.sin(seed * 7 + index), y: y + 0.8 * Math.cos(seed * 5 + index) },
        ]),
      );
    for (const [seed, person] of [
      service.vet,
      service.farrier,
      service.vet,
      service.farrier,
    ].entries())
      await person.send("post", `/radiographs/${filmId}/repeat-readings`, { points: shaky(seed) });
    const { page, go } = vet;
    await go("/film-study");
    await page.getByRole("table", { name: "How exactly we read films" }).waitFor();
    const row = page.getByRole("row").filter({ hasText: /sole/i }).first();
    await row.getByText(/standard$/).waitFor();
    await row.getByText("more readings needed").waitFor();
  });
});

describe("taking a film out", () => {
  it("gives picture, page, report and table as files of their kinds", async () => {
    const page = await open(vet, `/films/${filmId}`);
    for (const [name, begins] of [
      [/Picture with lines/, "\u0089PNG"],
      [/One page to print/, "%PDF-"],
      [/Table of measures/, ""],
    ] as const) {
      const waiting = page.waitForEvent("download");
      await page.getByRole("link", { name }).click();
      const stream = await (await waiting).createReadStream();
      const chunks: Buffer[] = [];
      for await (const chunk of stream) chunks.push(chunk as Buffer);
      const bytes = Buffer.concat(chunks);
      expect(bytes.length).toBeGreaterThan(500);
      expect(bytes.toString("latin1").startsWith(begins)).toBe(true);
    }
    const waiting = page.waitForEvent("download");
    await page.getByRole("link", { name: /Structured report/ }).click();
    const [first] = await (await (await waiting).createReadStream()).toArray();
    // A DICOM file carries its four letters after a preamble of 128 bytes (PS3.10).
    expect((first as Buffer).subarray(128, 132).toString()).toBe("DICM");
  });

  it("shows a film to the owner with the vet's words once its side is confirmed", async () => {
    const page = await open(vet, `/films/${filmId}`);
    await page.getByRole("button", { name: "Show to the owner" }).click();
    const dialog = page.getByRole("dialog", { name: "Show to the owner" });
    await dialog
      .getByLabel("Your words to the owner")
      .fill("The bone lies well. Next film in four weeks.");
    await dialog.getByRole("button", { name: "Show to the owner" }).click();
    await page.getByText(/Shown to the owner by Vera Vet/).waitFor();
  });
});

describe("a front view", () => {
  it("is marked by clicks and measured to its own uncertainty", async () => {
    const front = frontPhantomFromMeasures(
      {
        tiltDegrees: 3.5,
        foraminaApartMm: 42,
        jointSpaceMedialMm: 3.2,
        jointSpaceLateralMm: 1.8,
        soleMiddleMm: 16,
        wallMedialMm: 17,
        wallLateralMm: 16,
      },
      { render: size(PITCH_MM) },
    );
    const added = await uploadFilm(
      service,
      caseId,
      writeDicom(front.film, {
        horseName: "Test Horse",
        horseId: "1",
        takenOn: daysAgo(1).slice(0, 10),
        takenAtTime: "10:05:00",
        side: "L",
        view: "dorsopalmar",
      }),
      { foot: "LF", view: "dorsopalmar", takenAt: daysAgo(1) },
    );
    expect(added.status).toBe(201);
    await service.vet.send(
      "patch",
      `/radiographs/${added.body.id}`,
      { scale: { kind: "marker", lengthMm: 100, lengthStandardUncertaintyMm: 0.2 } },
      1,
    );
    const page = await open(vet, `/films/${added.body.id}`);
    await page.getByText(/^0 of 16 placed/).waitFor();
    const stage = page.getByRole("application");
    const box = (await stage.boundingBox())!;
    const zoom = 0.97 * Math.min(box.width / front.film.widthPx, box.height / front.film.heightPx);
    const left = box.x + (box.width - front.film.widthPx * zoom) / 2;
    const top = box.y + (box.height - front.film.heightPx * zoom) / 2;
    for (let placed = 0; placed < 16; placed += 1) {
      await page.getByText(new RegExp(`^${placed} of 16 placed`)).waitFor();
      // The point asked for is named in the panel; its place on the film is known from the phantom.
      const key = await page.locator("[data-asked]").getAttribute("data-asked");
      const at = front.landmarksPx[key as keyof typeof front.landmarksPx];
      await page.mouse.click(left + (at.x + 0.5) * zoom, top + (at.y + 0.5) * zoom);
    }
    await page.getByRole("button", { name: "Keep these marks" }).click();
    await page.getByRole("button", { name: "Keep these marks" }).waitFor({ state: "hidden" });
    const { body } = await service.vet.get(`/radiographs/${added.body.id}/landmark-sets`);
    for (const [key, truth] of [
      ["p3Tilt", 3.5],
      ["jointSpaceMedial", 3.2],
      ["jointSpaceLateral", 1.8],
    ] as const) {
      const found = body.items[0].measurements.find((one: { key: string }) => one.key === key);
      expect(Math.abs(found.value - truth), key).toBeLessThan(3 * found.standardUncertainty);
    }
  });
});

describe("the pages of films", () => {
  it.each<readonly [string, () => string]>([
    ["film", () => `/films/${filmId}`],
    ["second reading", () => `/films/${filmId}/second-reading`],
    ["comparison", () => `/cases/${caseId}/films/compare`],
    ["series", () => `/cases/${caseId}/measures`],
    ["list", () => `/cases/${caseId}/films`],
    ["study", () => "/film-study"],
  ])("can be read and worked by everybody: axe finds nothing on the %s page", async (_, path) => {
    const { page, go } = vet;
    await go(path());
    await page.getByRole("heading", { level: 1 }).waitFor();
    expect(await wcagFaultsOf(page)).toEqual([]);
  });
});
