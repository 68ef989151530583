import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { bringingIn, fitted, toImage, toScreen, zoomedAt } from "./viewport.ts";

const FILM = { width: 3000, height: 2400 };
const STAGE = { width: 820, height: 640 };

describe("film and screen", () => {
  it("shows the whole film at first", () => {
    const view = fitted(FILM, STAGE);
    const corner = toScreen(view, { x: -0.5, y: -0.5 });
    const opposite = toScreen(view, { x: 2999.5, y: 2399.5 });
    expect(corner.x).toBeGreaterThanOrEqual(0);
    expect(corner.y).toBeGreaterThanOrEqual(0);
    expect(opposite.x).toBeLessThanOrEqual(STAGE.width);
    expect(opposite.y).toBeLessThanOrEqual(STAGE.height);
  });

  it("a screen place leads back to the same place of the film", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.05, max: 24, noNaN: true }),
        fc.double({ min: 0, max: 2999, noNaN: true }),
        (zoom, x) => {
          const view = { zoom, offset: { x: -31.5, y: 12 } };
          expect(toImage(view, toScreen(view, { x, y: 7 })).x).toBeCloseTo(x, 6);
        },
      ),
    );
  });

  it("what lies under the pointer stays there while zooming in", () => {
    const at = { x: 400, y: 300 };
    const view = fitted(FILM, STAGE);
    const under = toImage(view, at);
    const nearer = zoomedAt(view, at, 3, FILM, STAGE);
    const shown = toScreen(nearer, under);
    expect(shown.x).toBeCloseTo(at.x, 6);
    expect(shown.y).toBeCloseTo(at.y, 6);
  });

  it("brings a hidden point to the middle and leaves a visible one alone", () => {
    const near = zoomedAt(fitted(FILM, STAGE), { x: 10, y: 10 }, 12, FILM, STAGE);
    const far = { x: 1500, y: 1200 };
    const shown = toScreen(bringingIn(near, far, FILM, STAGE), far);
    expect(shown.x).toBeCloseTo(STAGE.width / 2, 3);
    const view = fitted(FILM, STAGE);
    expect(bringingIn(view, far, FILM, STAGE)).toBe(view);
  });
});
