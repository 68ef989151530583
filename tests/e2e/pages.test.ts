import { randomUUID } from "node:crypto";
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { ROLES, type Role } from "@heelward/domain/access";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { root } from "../architecture/repository.ts";
import { launchBrowser } from "../support/browser.ts";
import { openSeat, sitDown } from "../support/dashboard.ts";
import { startDemoService, type DemoService } from "../support/demo-dashboard.ts";
import { type Closeness, listenTo, lookOver } from "../support/look-over.ts";

// A year of a practice is loaded first, films and all; a busy machine takes its time.
vi.setConfig({ testTimeout: 900_000, hookTimeout: 900_000 });

/** As the router has them; read when the test runs, because the pages themselves are another build. */
const { PAGES, OPEN_PAGES } = (await import(join(root, "apps/web/src/app/pages.ts"))) as {
  readonly PAGES: readonly { readonly path: string; readonly roles: readonly Role[] }[];
  readonly OPEN_PAGES: readonly { readonly path: string }[];
};

const WIDE = { width: 1440, height: 1000 };
const PHONE = { width: 390, height: 844 };
interface Look {
  readonly colorScheme: "light" | "dark";
  readonly size: typeof WIDE;
  readonly closeness: Closeness;
}
const look = (
  colorScheme: Look["colorScheme"],
  size: Look["size"],
  closeness: Closeness,
): Look => ({
  colorScheme,
  size,
  closeness,
});
/** Everything is looked at wide in one light and on a phone in the other, colours and sizes in between. */
const ALL_WAYS: readonly Look[] = [
  look("light", WIDE, "everything"),
  look("dark", WIDE, "colours and sizes"),
  look("dark", PHONE, "everything"),
  look("light", PHONE, "colours and sizes"),
];
/** The first two who share a page look at it both ways; for the others it has to open and to fit. */
const IN_TURN: readonly (readonly Look[])[] = [
  [look("light", WIDE, "everything"), look("dark", PHONE, "colours and sizes")],
  [look("dark", WIDE, "everything"), look("light", PHONE, "colours and sizes")],
];
const OTHERS: readonly Look[] = [look("light", PHONE, "frame")];
const looksOf = (roles: readonly Role[], role: Role): readonly Look[] =>
  roles.length === 1 ? ALL_WAYS : (IN_TURN[roles.indexOf(role)] ?? OTHERS);

/** The people around one horse of the demo that has something on every page. */
const HORSE = "Thimble";
const PEOPLE: Readonly<Record<Role, string>> = {
  vet: "nessa.tarvish@wrackline.invalid",
  farrier: "malo.ironmere@wrackline.invalid",
  manager: "brid.fennimarsh@wrackline.invalid",
  carer: "sile.duskerry@wrackline.invalid",
  owner: "orsolya.penhallick@wrackline.invalid",
};
/** The demo holds none; `medicine.test.ts` writes one and looks at it. */
const MADE_ELSEWHERE = ["/written-prescriptions/$prescriptionId"];
/** The pages an owner is sent on from, to the own horses. */
const SENT_ON: Readonly<Partial<Record<Role, string>>> = { owner: "/" };
/** The end of a link nobody was sent: its page says so, and asking for it is refused. */
const UNKNOWN_LINK = "a-link-that-nobody-was-sent-0123456789";
/** Nothing on file is an answer here, and the page says so: a ration, a ladder, a learning note. */
const MAY_BE_NONE = /^404: GET .*\/(?:feeding-plan|movement-ladder|learning-note)$/u;
/** A folder for pictures of all pages, for whoever wants to look at them. */
const picturesTo = process.env["PAGE_PICTURES"];

let service: DemoService;
let browser: Browser;
let ids: Readonly<Record<string, unknown>>;

/** The manager asks for the coming weeks to be planned, as the demo never did. */
const askForPlan = async (): Promise<unknown> => {
  const send = async (path: string, body: unknown, token?: string): Promise<unknown> => {
    const answer = await fetch(`${service.url}/api/v1${path}`, {
      method: "POST",
      headers: {
        "content-type": "application/json",
        "idempotency-key": randomUUID(),
        ...(token === undefined ? {} : { authorization: `Bearer ${token}` }),
      },
      body: JSON.stringify(body),
    });
    if (!answer.ok) throw new Error(`${path} answered ${String(answer.status)}`);
    return answer.json();
  };
  const { password } = service;
  const session = await send("/session", { email: PEOPLE.manager, password });
  const { accessToken } = session as { readonly accessToken: string };
  const fromOn = new Date(Date.now() + 86_400_000).toISOString().slice(0, 10);
  return ((await send("/plans", { fromOn }, accessToken)) as { readonly id: string }).id;
};

beforeAll(async () => {
  service = await startDemoService();
  const newest = (table: string, name: string) =>
    `(SELECT id FROM ${table} one WHERE one.horse_id = h.id ORDER BY created_at DESC LIMIT 1) AS "${name}"`;
  const [found] = await service.query(
    `SELECT h.id AS "horseId", h.yard_id AS "yardId",
      ${newest("cases", "caseId")}, ${newest("first_aid_sheets", "sheetId")},
      ${newest("resets", "resetId")}, ${newest("radiographs", "radiographId")},
      ${newest("prescriptions", "prescriptionId")}, ${newest("shoeing_records", "recordId")},
      ${newest("medication_courses", "courseId")}
    FROM horses h WHERE h.name = $1`,
    [HORSE],
  );
  ids = { ...found, planId: await askForPlan(), token: UNKNOWN_LINK };
  browser = await launchBrowser();
});
afterAll(async () => {
  await browser.close();
  await service.close();
});

const addressOf = (path: string): string =>
  path.replaceAll(/\$(\w+)/gu, (_, name: string) => {
    const id = ids[name];
    if (typeof id !== "string") throw new Error(`the demo has no ${name} for ${HORSE}`);
    return id;
  });

const takePicture = async (page: Page, who: string, path: string, { colorScheme, size }: Look) => {
  if (picturesTo === undefined) return;
  mkdirSync(picturesTo, { recursive: true });
  const name = path === "/" ? "start" : path.slice(1).replaceAll(/[^\w-]+/gu, "_");
  await page.screenshot({
    path: join(picturesTo, `${name}.${who}.${String(size.width)}.${colorScheme}.png`),
    fullPage: true,
  });
};

/** Opens each page and looks at it in each way; one line for everything that is wrong. */
const walk = async (
  page: Page,
  who: string,
  pages: readonly { readonly path: string; readonly looks: readonly Look[] }[],
): Promise<readonly string[]> => {
  const { settled, faults } = listenTo(page);
  const found: string[] = [];
  // One page after the other in one browser, as a person goes through them.
  // oxlint-disable no-await-in-loop
  for (const { path, looks } of pages) {
    for (const [at, one] of looks.entries()) {
      await page.setViewportSize(one.size);
      await page.emulateMedia({ colorScheme: one.colorScheme });
      if (at === 0) await page.goto(addressOf(path));
      await settled();
      const objections = await lookOver(page, {
        closeness: one.closeness,
        isPhone: one.size === PHONE,
      });
      await takePicture(page, who, path, one);
      const wrong = faults().filter(
        (fault) => !fault.endsWith(UNKNOWN_LINK) && !MAY_BE_NONE.test(fault),
      );
      const where = `${path} (${one.colorScheme}, ${String(one.size.width)})`;
      found.push(...[...objections, ...wrong].map((fault) => `${where}: ${fault}`));
    }
  }
  // oxlint-enable no-await-in-loop
  return found;
};

describe("every page, for every role that may open it", () => {
  // What is asked: WCAG 2.2 AA as axe-core reads it (with 2.5.8, targets of 24 px), 1.4.10 (no
  // scrolling sideways), and 44 px for buttons on a phone (house rule after 2.5.5).
  it.concurrent.each(ROLES)(
    "gives the %s nothing to object to, light and dark, wide and narrow",
    async (role) => {
      const person = { email: PEOPLE[role], password: service.password };
      const { page, close } = await sitDown(browser, service, person, WIDE);
      const pages = PAGES.filter(
        ({ path, roles }) =>
          roles.includes(role) && !MADE_ELSEWHERE.includes(path) && SENT_ON[role] !== path,
      ).map(({ path, roles }) => ({ path, looks: looksOf(roles, role) }));
      expect(await walk(page, role, pages)).toEqual([]);
      await close();
    },
  );

  it.concurrent("gives somebody who is not signed in nothing to object to either", async () => {
    const { page, close } = await openSeat(browser, service, WIDE);
    const pages = OPEN_PAGES.map(({ path }) => ({ path, looks: ALL_WAYS }));
    expect(await walk(page, "stranger", pages)).toEqual([]);
    await close();
  });
});
