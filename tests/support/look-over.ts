import { setTimeout } from "node:timers/promises";
import AxeBuilder from "@axe-core/playwright";
import type { Page } from "playwright-core";

/**
 * How closely a page is looked at: by all of axe-core's rules, by those whose answer changes with the
 * light and the width, or at its frame alone (one title, nothing too wide, nothing too small).
 */
export type Closeness = "everything" | "colours and sizes" | "frame";

/** WCAG 2.2 in axe-core, whose rule for target size (2.5.8: 24 px or room around) is off until asked for. */
const axeObjections = async (page: Page, closeness: Closeness): Promise<readonly string[]> => {
  if (closeness === "frame") return [];
  // In the page itself, without a second one to gather in: that would push this page into the
  // background, where it draws nothing. There are no frames to reach.
  const axe = new AxeBuilder({ page }).setLegacyMode();
  const { violations } = await (
    closeness === "everything"
      ? axe.options({ resultTypes: ["violations"], rules: { "target-size": { enabled: true } } })
      : axe.options({
          resultTypes: ["violations"],
          runOnly: { type: "rule", values: ["color-contrast", "target-size"] },
        })
  ).analyze();
  return violations.flatMap(({ id, nodes }) =>
    nodes.map(({ html }) => `${id}: ${html.slice(0, 160)}`),
  );
};

/** How far the page can be pushed sideways, as a complaint; WCAG 2.2 AA 1.4.10 allows none. */
const sidewaysRoom = (page: Page): Promise<readonly string[]> =>
  page.evaluate(() => {
    const { scrollWidth, clientWidth } = document.documentElement;
    if (scrollWidth <= clientWidth) return [];
    const widest = [...document.querySelectorAll("body *")]
      .toSorted((a, b) => b.getBoundingClientRect().right - a.getBoundingClientRect().right)
      .at(0);
    return [`${scrollWidth - clientWidth} px too wide: ${widest?.outerHTML.slice(0, 160) ?? ""}`];
  });

/** A page has one title, so that whoever reads by headings knows where they are. */
const titles = (page: Page): Promise<readonly string[]> =>
  page.evaluate(() => {
    const seen = [...document.querySelectorAll("h1")].filter((one) => one.checkVisibility());
    return seen.length === 1 ? [] : [`${seen.length} titles`];
  });

/**
 * Colours and places have arrived where they are going: what still moves is brought to its end, since
 * a transition in a part that is not drawn would never come to it.
 */
const comeToRest = (page: Page): Promise<void> =>
  page.evaluate(async () => {
    await document.fonts.ready;
    for (const animation of document.getAnimations()) {
      const isEndless = animation.effect?.getComputedTiming().endTime === Infinity;
      if (isEndless) animation.cancel();
      else animation.finish();
    }
  });

/**
 * Buttons smaller than a thumb on a phone: 44 px each way, the house rule after WCAG 2.2 AAA 2.5.5.
 * A word that explains itself when pressed stands in its line and keeps its height.
 */
const smallButtons = (page: Page): Promise<readonly string[]> =>
  page.evaluate(() => {
    const leastPx = 44;
    const tolerancePx = 0.5;
    return [...document.querySelectorAll("main :is(button, [role=button], [role=tab])")].flatMap(
      (button) => {
        const { width, height } = button.getBoundingClientRect();
        const isSeen = button.checkVisibility({ opacityProperty: true }) && width > 1 && height > 1;
        const isInSentence =
          button.matches("[popovertarget]") ||
          (getComputedStyle(button).display.startsWith("inline") &&
            button.parentElement?.textContent.trim() !== button.textContent.trim());
        const isLarge = width >= leastPx - tolerancePx && height >= leastPx - tolerancePx;
        return !isSeen || isInSentence || isLarge
          ? []
          : [
              `button of ${width.toFixed(0)} × ${height.toFixed(0)} px: ${button.outerHTML.slice(0, 160)}`,
            ];
      },
    );
  });

/** What is wrong with the page as it stands in this window, one line each; empty is right. */
export const lookOver = async (
  page: Page,
  { closeness, isPhone }: { readonly closeness: Closeness; readonly isPhone: boolean },
): Promise<readonly string[]> => {
  await comeToRest(page);
  return [
    ...(await axeObjections(page, closeness)),
    ...(await sidewaysRoom(page)),
    ...(await titles(page)),
    ...(isPhone ? await smallButtons(page) : []),
  ];
};

/** Listens to what a page asks for and complains of, from now on. */
export interface Listener {
  /** Waits until the page has its title, everything it asked for, and no grey lines any more. */
  readonly settled: () => Promise<void>;
  /** What went wrong since the last time this was asked, one line each; empty is right. */
  readonly faults: () => readonly string[];
}

/** How long a page may load on a busy machine, and how often it is asked. */
const LONGEST_MS = 120_000;
const LOOK_EVERY_MS = 50;

/** The line of changes stays open for as long as the page does. */
const isOpenEnded = (url: string): boolean => new URL(url).pathname === "/api/v1/events";

/**
 * Notes errors on the console, exceptions, and requests that were refused or failed. One that the
 * page itself gave up, by being left, is none of these.
 */
export const listenTo = (page: Page): Listener => {
  const underWay = new Set<unknown>();
  let noted: readonly string[] = [];
  const note = (fault: string): void => {
    noted = [...noted, fault];
  };
  page.on("console", (message) => {
    // A refused request is noted with its address below.
    if (message.type() === "error" && !message.text().startsWith("Failed to load resource"))
      note(`console: ${message.text().slice(0, 300)}`);
  });
  page.on("pageerror", (error) => note(`exception: ${error.message.slice(0, 300)}`));
  page.on("request", (request) => {
    if (!isOpenEnded(request.url())) underWay.add(request);
  });
  page.on("requestfinished", (request) => underWay.delete(request));
  page.on("requestfailed", (request) => {
    underWay.delete(request);
    const reason = request.failure()?.errorText ?? "";
    if (reason !== "net::ERR_ABORTED") note(`${reason}: ${request.method()} ${request.url()}`);
  });
  page.on("response", (response) => {
    if (response.status() >= 400)
      note(`${response.status()}: ${response.request().method()} ${response.url()}`);
  });
  const isAtRest = async (): Promise<boolean> =>
    underWay.size === 0 &&
    (await page.evaluate(
      () =>
        document.querySelector("h1") !== null &&
        // The page of components shows a specimen of what is shown while a page loads.
        (location.pathname === "/components" ||
          document.querySelector("main output > .only-read, main [aria-busy=true]") === null),
    )) &&
    underWay.size === 0;
  return {
    settled: async () => {
      const untilMs = Date.now() + LONGEST_MS;
      // oxlint-disable no-await-in-loop
      while (!(await isAtRest())) {
        if (Date.now() > untilMs) throw new Error(`${page.url()} is still loading`);
        await setTimeout(LOOK_EVERY_MS);
      }
      // oxlint-enable no-await-in-loop
    },
    faults: () => {
      const found = noted;
      noted = [];
      return found;
    },
  };
};
