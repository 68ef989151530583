import { join } from "node:path";
import type { Browser, Locator, Page } from "playwright-core";
import { root } from "../architecture/repository.ts";
import { PASSWORD, startTestService, type TestPerson, type TestService } from "./service.ts";

/** A service that also serves the built dashboard, on a port of its own and the machine's clock. */
export interface LiveService extends TestService {
  readonly url: string;
}

/** The built dashboard; another build may be named for a try. */
export const WEB_DIST = process.env["WEB_DIST"] ?? join(root, "apps", "web", "dist");

export const startLiveService = async (): Promise<LiveService> => {
  const service = await startTestService({
    webDist: WEB_DIST,
    usesRealClock: true,
  });
  const url = await service.app.listen({ host: "127.0.0.1", port: 0 });
  return { ...service, url };
};

/** A person's own browser. */
export interface Seat {
  readonly page: Page;
  readonly go: (path: string) => Promise<void>;
  readonly close: () => Promise<void>;
}

const TIME_ZONE = "Europe/Dublin";

/** Opens an empty page of a browser of one's own, with nobody signed in. */
export const openSeat = async (
  browser: Browser,
  service: Pick<LiveService, "url">,
  viewport = { width: 1440, height: 1000 },
): Promise<Seat> => {
  const context = await browser.newContext({
    viewport,
    baseURL: service.url,
    timezoneId: TIME_ZONE,
    locale: "en-GB",
    reducedMotion: "reduce",
  });
  context.setDefaultTimeout(60_000);
  const page = await context.newPage();
  return { page, go: async (path) => void (await page.goto(path)), close: () => context.close() };
};

/** Opens the dashboard as a person would: types e-mail and password, lands on the own queue. */
export const sitDown = async (
  browser: Browser,
  service: Pick<LiveService, "url">,
  person: Pick<TestPerson, "email"> & { readonly password?: string },
  viewport?: { readonly width: number; readonly height: number },
): Promise<Seat> => {
  const seat = await openSeat(browser, service, viewport);
  const { page } = seat;
  await page.goto("/");
  await page.getByLabel("E-mail").fill(person.email);
  await page.getByLabel("Password").fill(person.password ?? PASSWORD);
  await page.getByRole("button", { name: "Sign in" }).click();
  // The sign-in page has a main part too: it must be gone.
  await page.getByLabel("Password").waitFor({ state: "detached" });
  await page.getByRole("banner").waitFor();
  return seat;
};

/** The part of a form that a legend names. */
export const group = (within: Page | Locator, name: string | RegExp): Locator =>
  within.getByRole("group", { name });

/** Picks one answer of a question by its words. */
export const answer = async (
  within: Page | Locator,
  question: string | RegExp,
  words: string,
): Promise<void> => {
  const asked = within
    .getByRole("group", { name: question })
    .or(within.getByRole("radiogroup", { name: question }));
  await asked.first().getByText(words, { exact: true }).click();
};
