import type { Page } from "playwright-core";

/**
 * How long a person who knows the form needs at its fastest, from what the person does: the
 * keystroke-level model of Card, Moran and Newell, "The keystroke-level model for user performance
 * time with interactive systems", Communications of the ACM 23 (1980) 396-410. A key of an average
 * typist takes 0.28 s (40 words a minute), pointing 1.1 s, a press of the button 0.1 s, moving the
 * hand between keys and mouse 0.4 s, making up one's mind 1.35 s.
 */
const SECONDS = { key: 0.28, point: 1.1, press: 0.1, hand: 0.4, mind: 1.35 } as const;

/** What a person did on the page since it was opened. */
export interface Deeds {
  readonly keys: number;
  readonly presses: number;
  /** Times the hand went from keys to mouse or back. */
  readonly moves: number;
}

/** Counts keys and presses on every page opened from now on. */
export const watchDeeds = (page: Page) =>
  page.addInitScript(() => {
    const deeds = { keys: 0, presses: 0, moves: 0 };
    let last = "mouse";
    const note = (what: "keys" | "presses", hand: string) => {
      deeds[what] += 1;
      if (hand !== last) deeds.moves += 1;
      last = hand;
    };
    addEventListener("keydown", () => note("keys", "keys"), true);
    addEventListener("pointerdown", () => note("presses", "mouse"), true);
    Reflect.set(globalThis, "deeds", deeds);
  });

/** The predicted time. Every press is given a moment of thought. */
export const secondsOf = ({ keys, presses, moves }: Deeds): number =>
  keys * SECONDS.key +
  presses * (SECONDS.point + SECONDS.press + SECONDS.mind) +
  moves * SECONDS.hand;

/** What was done since the page was opened. */
export const deedsOn = (page: Page): Promise<Deeds> =>
  page.evaluate(() => Reflect.get(globalThis, "deeds") as Deeds);
