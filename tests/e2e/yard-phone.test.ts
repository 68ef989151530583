import AxeBuilder from "@axe-core/playwright";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { launchBrowser } from "../support/browser.ts";
import { sitDown, startLiveService, type LiveService, type Seat } from "../support/dashboard.ts";
import { type DayHorse, putFarrierDay } from "../support/farrier-day.ts";

/** The phone in the yard: few taps, large targets, photos over the last ones, the red-flag button. */
const PHONE = { width: 390, height: 844 };
/** The browser may be slow where much else runs. */
const SLOWLY = { timeout: 15_000 };
/** 15 mm in CSS pixels of 1/96 inch. Source: CSS Values 4, absolute lengths. */
const FIFTEEN_MM_PX = (15 / 25.4) * 96;

let service: LiveService;
let browser: Browser;
let farrier: Seat;
let carer: Seat;
let horses: readonly DayHorse[];

beforeAll(async () => {
  service = await startLiveService();
  horses = await putFarrierDay(service, 4);
  browser = await launchBrowser(
    "--use-fake-device-for-media-stream",
    "--use-fake-ui-for-media-stream",
  );
  farrier = await sitDown(browser, service, service.farrier, PHONE);
  carer = await sitDown(browser, service, service.carer, PHONE);
});
afterAll(async () => {
  await browser.close();
  await service.close();
});

/** Waits until the page's own worker answers for it and the day is stored. */
const takeAlong = async ({ page, go }: Seat): Promise<void> => {
  await go("/day");
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await page.getByRole("button", { name: /Take the day along|Refresh now/ }).click();
  await page.getByText(/^Stored \d\d:\d\d, \d+ horses?$/).waitFor();
  await page.getByRole("button", { name: "Refresh now" }).and(page.locator(":enabled")).waitFor();
};

/** Takes the four photos, one tap each; the fake camera's plain picture may be flagged, and is kept then. */
const shootFour = async (page: Page): Promise<number> => {
  const keep = page.getByRole("button", { name: "Keep it" });
  let taps = 0;
  for (let photo = 1; photo <= 4; photo += 1) {
    const next =
      photo < 4
        ? page.getByText(`${String(photo + 1)} of 4`)
        : page.getByRole("img", { name: "Photo: Right fore, sole" });
    // oxlint-disable no-await-in-loop
    await page.getByRole("button", { name: "Take the photo", exact: true }).click();
    taps += 1;
    await keep.or(next).first().waitFor();
    if (await keep.isVisible()) await keep.click();
    await next.waitFor();
    // oxlint-enable no-await-in-loop
  }
  return taps;
};

describe("as-done when everything went as planned", () => {
  it("is one tap, two numbers and four photos, a date and a send, all with one thumb", async () => {
    const { page, go } = farrier;
    const horse = horses[0]!;
    await go(`/shoeing/${horse.id}`);
    let touches = 0;
    const tap = async (name: string | RegExp) => {
      await page.getByRole("button", { name }).first().click();
      touches += 1;
    };
    await tap(/As planned/);
    // The two that are measured on the finished foot: breakover, left and right, one step each.
    for (const foot of ["Left fore", "Right fore"]) {
      // oxlint-disable-next-line no-await-in-loop
      await page
        .getByRole("region", { name: foot })
        .getByRole("button", { name: /More: Breakover ahead/ })
        .click();
      touches += 1;
    }
    await tap("Take the photos");
    touches += await shootFour(page);
    await page.getByRole("button", { name: "Take the photos" }).waitFor({ state: "hidden" });
    await page.locator("[data-offer]").last().click();
    await tap("Record as done");
    touches += 1;
    await page.waitForURL(/\/records\//);
    // As planned 1, numbers 2, camera 1, photos 4, date 1, send 1.
    expect(touches).toBe(10);
    const [record] = await service.query(
      "SELECT as_planned, cardinality(photo_ids) AS photos, feet FROM shoeing_records WHERE horse_id = $1",
      [horse.id],
    );
    expect(record).toMatchObject({ as_planned: true, photos: 4 });
    expect(record?.["feet"]).toMatchObject([
      { foot: "LF", breakoverAfterMm: 7.5 },
      { foot: "RF", breakoverAfterMm: 7.5 },
    ]);
    const views = await service.query(
      "SELECT photo_view FROM documents WHERE horse_id = $1 ORDER BY photo_view",
      [horse.id],
    );
    expect(views.map((row) => row["photo_view"])).toEqual([
      "LF side",
      "LF sole",
      "RF side",
      "RF sole",
    ]);
  });
});

describe("the photo guide", () => {
  it("lays the outline of the last photo over the camera's picture", async () => {
    const { page, go } = farrier;
    await go(`/shoeing/${horses[0]!.id}`);
    await page.getByRole("button", { name: "Take the photos" }).click();
    await page.getByText(/The outline is the last photo/).waitFor();
    const ghost = page.locator("[data-ghost]");
    const drawn = () =>
      ghost.evaluate((canvas: HTMLCanvasElement) => {
        const data = canvas.getContext("2d")?.getImageData(0, 0, canvas.width, canvas.height).data;
        return (data ?? []).filter((value, index) => index % 4 === 3 && value > 0).length;
      });
    await expect.poll(drawn, SLOWLY).toBeGreaterThan(50);
    const [over, under] = await Promise.all([
      ghost.boundingBox(),
      page.locator("video").boundingBox(),
    ]);
    expect(over).toEqual(under);
  });

  it("says how far the phone is tilted, and when it is level", async () => {
    const { page } = farrier;
    const lean = (beta: number) =>
      page.evaluate(
        (angle) =>
          window.dispatchEvent(
            new DeviceOrientationEvent("deviceorientation", { alpha: 0, beta: angle, gamma: 0 }),
          ),
        beta,
      );
    await lean(78);
    await page.getByText("Tilted 12°").waitFor();
    await lean(88);
    await page.getByText("Level", { exact: true }).waitFor();
  });

  it("flags a poor shot and lets it be kept all the same", async () => {
    const { page } = farrier;
    await page.evaluate(() =>
      window.dispatchEvent(
        new DeviceOrientationEvent("deviceorientation", { alpha: 0, beta: 70, gamma: 0 }),
      ),
    );
    await page.getByText("Tilted 20°").waitFor();
    await page.getByRole("button", { name: "Take the photo", exact: true }).click();
    await page.getByRole("alert").getByText("Was tilted 20° when taken.").waitFor();
    await page.getByRole("button", { name: "Keep it" }).click();
    await page.getByText(/2 of 4/).waitFor();
    await page.keyboard.press("Escape");
    await page.getByText(/^Marked: .*tilted/).waitFor();
  });
});

describe("a spoken note", () => {
  it("is recorded with two taps and kept with the horse's documents", async () => {
    const { page } = farrier;
    await page.getByRole("button", { name: "Speak a note" }).click();
    await page.getByRole("button", { name: /Stop and keep · Recording [1-9]/ }).click();
    await page.getByText("Voice note 1").waitFor();
    const rows = await service.query(
      "SELECT media_type FROM documents WHERE kind = 'voice note' AND horse_id = $1",
      [horses[0]!.id],
    );
    expect(rows).toEqual([{ media_type: "audio/webm" }]);
  });
});

describe("gloves and sun", () => {
  const large = async (page: Page, within: string) => {
    const boxes = await page.locator(within).evaluateAll((found) =>
      found
        .filter((one) => (one as HTMLElement).checkVisibility())
        .map((one) => {
          const { width, height } = one.getBoundingClientRect();
          return { text: one.textContent?.trim().slice(0, 30), side: Math.min(width, height) };
        }),
    );
    expect(boxes.length).toBeGreaterThan(3);
    return boxes.filter(({ side }) => side < FIFTEEN_MM_PX);
  };

  it("makes every button a farrier works with at least 15 mm", async () => {
    const { page, go } = farrier;
    await go("/day");
    await page.getByRole("button", { name: "Gloves and sun" }).click();
    await page.getByRole("heading", { name: "Bramble" }).waitFor();
    expect(
      await large(page, "#page a[class*=button], #page button, #page a[href^='tel:']"),
    ).toEqual([]);
    await go(`/shoeing/${horses[1]!.id}`);
    await page.getByRole("button", { name: /As planned/ }).waitFor();
    expect(await large(page, "#page form button")).toEqual([]);
  });

  it("reaches 7:1 for every text, and has nothing that axe finds fault with, in each light", async () => {
    const { page, go } = farrier;
    // One page in one light after the other.
    // oxlint-disable no-await-in-loop
    const pages = {
      "/day": page.getByRole("heading", { name: "Bramble" }),
      [`/shoeing/${horses[1]!.id}`]: page.getByRole("button", { name: /As planned/ }),
      "/outbox": page.getByText("Everything has arrived").or(page.getByText("Work recorded")),
    };
    for (const [path, content] of Object.entries(pages))
      for (const theme of ["sun", "light", "dark"]) {
        await page.evaluate((one) => localStorage.setItem("heelward.theme", one), theme);
        await go(path);
        await content.first().waitFor();
        await page.getByRole("heading", { level: 1 }).waitFor();
        const axe = new AxeBuilder({ page });
        if (theme === "sun")
          axe.options({ rules: { "color-contrast-enhanced": { enabled: true } } });
        const { violations } = await axe.analyze();
        expect(
          violations.map(({ id, nodes }) => [path, theme, id, nodes.map((node) => node.html)]),
        ).toEqual([]);
      }
    // oxlint-enable no-await-in-loop
    await page.evaluate(() => localStorage.removeItem("heelward.theme"));
  });
});

describe("the red-flag button", () => {
  it("rings the number on call with one press, without signal too, and is logged when the signal returns", async () => {
    const { page, go } = carer;
    await go("/care");
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
    const button = page.getByRole("link", { name: /Red flag: ring/ });
    expect(await button.getAttribute("href")).toBe("tel:+35310000000");
    await page.context().setOffline(true);
    await button.evaluate((link) => link.addEventListener("click", (tap) => tap.preventDefault()));
    await button.click();
    await page.getByText("1 record waits to be sent.").waitFor();
    expect(await service.query("SELECT id FROM red_flag_calls")).toEqual([]);
    await page.context().setOffline(false);
    await expect.poll(() => service.query("SELECT id FROM red_flag_calls"), SLOWLY).toHaveLength(1);
    const [call] = await service.query(
      "SELECT number_dialled, pressed_at < received_at AS earlier FROM red_flag_calls",
    );
    expect(call).toEqual({ number_dialled: "+353 1 000 0000", earlier: true });
  });
});

describe("what goes wrong without signal", () => {
  const recordOffline = async (horse: DayHorse) => {
    const { page, go } = farrier;
    await page.context().setOffline(true);
    await go(`/shoeing/${horse.id}`);
    await page.getByRole("button", { name: /As planned/ }).click();
    await page.locator("[data-offer]").last().click();
    await page.getByRole("button", { name: "Record as done" }).click();
    await page.waitForURL(/\/day\?kept=yes$/);
  };

  it("keeps the outbox when the session is over, asks to sign in again, and sends then", async () => {
    const { page } = farrier;
    await takeAlong(farrier);
    await recordOffline(horses[1]!);
    await service.query("UPDATE sessions SET revoked_at = now() WHERE person_id = $1", [
      service.farrier.id,
    ]);
    await page.context().setOffline(false);
    const dialog = page.getByRole("dialog", { name: "You were signed out" });
    await dialog.waitFor();
    await expect
      .poll(() =>
        service.query("SELECT id FROM shoeing_records WHERE horse_id = $1", [horses[1]!.id]),
      )
      .toEqual([]);
    await dialog.getByLabel("Password").fill("a long pass phrase for tests");
    await dialog.getByRole("button", { name: "Confirm" }).click();
    await expect
      .poll(
        () => service.query("SELECT id FROM shoeing_records WHERE horse_id = $1", [horses[1]!.id]),
        SLOWLY,
      )
      .toHaveLength(1);
  });

  it("tells that the phone's clock is wrong and corrects the time of the work", async () => {
    const { page } = farrier;
    await takeAlong(farrier);
    await recordOffline(horses[2]!);
    // The service's clock runs on while the phone's stands still: the phone is slow by then.
    service.advance(50 * 60_000);
    await page.context().setOffline(false);
    await page.getByText(/This phone's clock is 50 min slow/).waitFor();
    const found = () =>
      service.query(
        `SELECT a.clock_offset_ms, s.done_at <= s.created_at AS before FROM arrivals a JOIN shoeing_records s ON s.id = a.record_id WHERE s.horse_id = $1`,
        [horses[2]!.id],
      );
    await expect.poll(found, SLOWLY).toHaveLength(1);
    const [row] = await found();
    expect(Math.abs(Number(row?.["clock_offset_ms"]) - 50 * 60_000)).toBeLessThan(60_000);
    expect(row?.["before"]).toBe(true);
  });

  it("says before signing out that records are only on this phone, and deletes nothing unasked", async () => {
    const { page } = farrier;
    await takeAlong(farrier);
    await recordOffline(horses[3]!);
    await page.getByRole("button", { name: /Your account/ }).click();
    await page.getByRole("button", { name: "Sign out" }).click();
    await page.getByText("1 record is only on this phone. Signing out deletes it.").waitFor();
    await page.getByRole("button", { name: "Stay signed in" }).click();
    await page.getByText("Work recorded", { exact: false }).first().waitFor();
    await page.context().setOffline(false);
    await page.getByText("Everything has arrived").waitFor();
  });

  it("wipes the stored day on signing out: nothing opens any more without signal", async () => {
    const { page } = farrier;
    await page.getByRole("button", { name: /Your account/ }).click();
    await page.getByRole("button", { name: "Sign out" }).click();
    await page.waitForURL(/\/sign-in/);
    const left = await page.evaluate(async () => {
      const database = await new Promise<IDBDatabase>((resolve, reject) => {
        const open = indexedDB.open("heelward");
        open.addEventListener("success", () => resolve(open.result));
        open.addEventListener("error", () => reject(new Error("no database")));
      });
      const count = (store: string) =>
        new Promise<number>((resolve) => {
          const asked = database.transaction(store).objectStore(store).count();
          asked.addEventListener("success", () => resolve(asked.result));
        });
      return [await count("keys"), await count("answers"), await count("outbox")];
    });
    expect(left).toEqual([0, 0, 0]);
  });
});
