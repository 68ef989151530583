import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { launchBrowser } from "../support/browser.ts";
import { sitDown, startLiveService, type LiveService, type Seat } from "../support/dashboard.ts";
import { type DayHorse, putFarrierDay, replacePlan } from "../support/farrier-day.ts";

/**
 * A farrier's day in a real browser with the network off: the day is taken along, everything of it
 * opens, the work is written down, and it all arrives once the signal is back.
 */
const HORSES = 12;
const PHONE = { width: 390, height: 844 };
/** The browser may be slow where much else runs. */
const SLOWLY = { timeout: 15_000 };

let service: LiveService;
let browser: Browser;
let farrier: Seat;
let horses: readonly DayHorse[];

beforeAll(async () => {
  service = await startLiveService();
  horses = await putFarrierDay(service, HORSES);
  browser = await launchBrowser(
    "--use-fake-device-for-media-stream",
    "--use-fake-ui-for-media-stream",
  );
  farrier = await sitDown(browser, service, service.farrier, PHONE);
});
afterAll(async () => {
  await browser.close();
  await service.close();
});

const takeAlong = async ({ page, go }: Seat): Promise<void> => {
  await go("/day");
  // The worker has taken over the page once it controls it.
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await page.getByRole("button", { name: /Take the day along|Refresh now/ }).click();
  await page.getByText(/^Stored \d\d:\d\d, 12 horses$/).waitFor();
  await page.getByRole("button", { name: "Refresh now" }).and(page.locator(":enabled")).waitFor();
};

/**
 * Requests to the service that nothing answered, but for the open line and renewing the session.
 * What a page took back itself because the person went on was not left unanswered.
 */
const unanswered = (page: Page): string[] => {
  const found: string[] = [];
  page.on("requestfailed", (request) => {
    const { pathname } = new URL(request.url());
    if (request.failure()?.errorText === "net::ERR_ABORTED") return;
    if (pathname.startsWith("/api/") && !/\/(events|session\/refresh)$/.test(pathname))
      found.push(`${request.method()} ${pathname}`);
  });
  return found;
};

const recordAsPlanned = async (page: Page): Promise<void> => {
  await page.getByRole("button", { name: /As planned/ }).click();
  await page.getByRole("group", { name: /Due again/ }).waitFor();
  await page.locator("[data-offer]").last().click();
  await page.getByRole("button", { name: "Record as done" }).click();
};

describe("before leaving", () => {
  it("stores the day on the phone and says when, and how many horses", async () => {
    await takeAlong(farrier);
    await farrier.page.getByText("fresh", { exact: true }).waitFor();
  });

  it("keeps nothing readable: every answer lies sealed in the phone's database", async () => {
    const found = await farrier.page.evaluate(async () => {
      const database = await new Promise<IDBDatabase>((resolve, reject) => {
        const open = indexedDB.open("heelward");
        open.addEventListener("success", () => resolve(open.result));
        open.addEventListener("error", () => reject(new Error("no database")));
      });
      const all = <T>(store: string) =>
        new Promise<T[]>((resolve) => {
          const asked = database.transaction(store).objectStore(store).getAll();
          asked.addEventListener("success", () => resolve(asked.result as T[]));
        });
      const answers = await all<{ data: ArrayBuffer }>("answers");
      const [key] = await all<{ key: CryptoKey }>("keys");
      const text = answers.map(({ data }) => new TextDecoder().decode(data)).join("");
      const exported = await crypto.subtle
        .exportKey("raw", key?.key as CryptoKey)
        .then(() => "exported")
        .catch((error: unknown) => (error as Error).name);
      return { count: answers.length, isReadable: /Larch|Alder|breakover/.test(text), exported };
    });
    expect(found.count).toBeGreaterThan(12 * 6);
    expect(found.isReadable).toBe(false);
    // Source: W3C Web Cryptography §14.3.10, a key that is not extractable is refused with this name.
    expect(found.exported).toBe("InvalidAccessError");
  });
});

describe("in the yard, with the network off", () => {
  beforeAll(() => farrier.page.context().setOffline(true));

  it("opens the day, every plan of its list, every case file and every form", async () => {
    const { page, go } = farrier;
    const failed = unanswered(page);
    await go("/day");
    await page.getByText("No signal.", { exact: false }).waitFor();
    await page.getByRole("heading", { name: "Larch" }).waitFor();
    // One page after the other, as a farrier walks along the boxes.
    // oxlint-disable no-await-in-loop
    for (const horse of horses) {
      await go(`/prescriptions/${horse.planId}`);
      await page
        .getByRole("heading", { name: new RegExp(horse.name) })
        .first()
        .waitFor();
      await page.getByText("No sole off the toe").first().waitFor();
    }
    for (const horse of horses.slice(0, 3)) {
      await go(`/cases/${horse.caseId}`);
      await page
        .getByRole("heading", { name: new RegExp(horse.name) })
        .first()
        .waitFor();
      await go(`/shoeing/${horse.id}`);
      await page.getByRole("button", { name: /As planned/ }).waitFor();
    }
    // oxlint-enable no-await-in-loop
    // What a page of the day newly asks for belongs into `apps/web/src/offline/take-day.ts`.
    expect([...new Set(failed)]).toEqual([]);
  });

  it("writes twelve visits down and keeps them on the phone", async () => {
    const { page, go } = farrier;
    // oxlint-disable no-await-in-loop
    for (const horse of horses) {
      await go(`/shoeing/${horse.id}`);
      await recordAsPlanned(page);
      await page.waitForURL(/\/day\?kept=yes$/);
    }
    // oxlint-enable no-await-in-loop
    await page.getByText("12 records wait to be sent.").waitFor();
    await expect
      .poll(() => page.getByText("Recorded, waits to be sent").count(), SLOWLY)
      .toBe(HORSES);
    const [{ count } = { count: -1 }] = await service.query(
      "SELECT count(*)::int AS count FROM shoeing_records",
    );
    expect(count).toBe(0);
  });

  it("still has them after the phone was switched off and on", async () => {
    const context = farrier.page.context();
    await farrier.page.close();
    const page = await context.newPage();
    farrier = { ...farrier, page, go: async (path) => void (await page.goto(path)) };
    await farrier.go("/outbox");
    await page.getByText("Larch", { exact: false }).first().waitFor();
    expect(await page.getByText("Work recorded").count()).toBe(HORSES);
  });
});

describe("back in signal", () => {
  it("sends all twelve, each exactly once, in order, with the time of the work and the time of arrival", async () => {
    const { page } = farrier;
    await page.context().setOffline(false);
    await page.getByText("Everything has arrived").waitFor();
    const rows = await service.query(
      `SELECT h.name, a.device_order, a.happened_at, a.received_at, s.done_at, s.created_at
         FROM arrivals a JOIN shoeing_records s ON s.id = a.record_id JOIN horses h ON h.id = s.horse_id
        WHERE a.operation = 'recordShoeing' ORDER BY a.device_order`,
    );
    expect(rows.map((row) => row["name"])).toEqual(horses.map((horse) => horse.name));
    const records = await service.query("SELECT horse_id FROM shoeing_records");
    expect(new Set(records.map((row) => row["horse_id"])).size).toBe(HORSES);
    expect(records).toHaveLength(HORSES);
    for (const row of rows) {
      const [done, happened, received, created] = [
        "done_at",
        "happened_at",
        "received_at",
        "created_at",
      ].map((name) => (row[name] as Date).getTime()) as [number, number, number, number];
      expect(received).toBe(created);
      expect(happened).toBeLessThan(received);
      expect(Math.abs(done - happened)).toBeLessThan(5 * 60_000);
    }
    const orders = rows.map((row) => row["device_order"] as number);
    expect(orders).toEqual(orders.toSorted((a, b) => a - b));
  });
});

describe("a plan that was replaced while there was no signal", () => {
  it("is shown beside what was done, nothing is dropped, and the farrier decides", async () => {
    const again = await putFarrierDay(service, 1);
    const horse = again[0]!;
    await service.query("UPDATE horses SET name = 'Yarrow' WHERE id = $1", [horse.id]);
    const { page, go } = farrier;
    await go("/day");
    await page.getByRole("button", { name: "Refresh now" }).click();
    await page.getByText(/^Stored \d\d:\d\d, 1 horse$/).waitFor();
    await page.context().setOffline(true);
    await go(`/shoeing/${horse.id}`);
    await recordAsPlanned(page);
    await page.waitForURL(/\/day\?kept=yes$/);
    const newPlan = await replacePlan(service, horse);
    await page.context().setOffline(false);
    await page.getByRole("link", { name: "1 record needs your decision" }).click();
    await page.getByRole("heading", { name: "What you wrote" }).waitFor();
    await page.getByText("You followed plan 1").waitFor();
    await page.getByText("in force, not answered").waitFor();
    await page.getByRole("button", { name: /Record it as I did it/ }).click();
    await page.getByText("Everything has arrived").waitFor();
    const records = await service.query(
      "SELECT prescription_id, by_replaced_plan FROM shoeing_records WHERE horse_id = $1",
      [horse.id],
    );
    expect(records).toEqual([{ prescription_id: horse.planId, by_replaced_plan: true }]);
    const { body } = await service.vet.get(`/prescriptions/${newPlan}`);
    expect(body.status).toBe("signed");
    const notes = await service.query(
      "SELECT urgent FROM handoff_notes WHERE horse_id = $1 AND to_role = 'vet'",
      [horse.id],
    );
    expect(notes).toContainEqual({ urgent: true });
  });
});
