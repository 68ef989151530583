import { describe, expect, it } from "vitest";
import { patchUnder, shadePatch } from "./patch.ts";
import { BACK_SHADE } from "./shades.ts";

const film = { width: 4, height: 3, pixels: Uint16Array.from({ length: 12 }, (_, at) => at) };
const shades = Uint32Array.from({ length: 12 }, (_, at) => 1000 + at);
const shaded = (patch: { left: number; top: number; side: number }) => {
  const out = new Uint32Array(patch.side ** 2);
  shadePatch(film, patch, shades, out);
  return [...out];
};

describe("the part of the film under the magnifier", () => {
  it("covers the whole square with a pixel to spare on every side, wherever the square lies", () => {
    for (const zoom of [3, 3.7, 16])
      for (const offset of [0, 0.4, -17.3, 55]) {
        const { left, top, side } = patchUnder({ zoom, offset: { x: offset, y: -offset } }, 200);
        // Edges of the square in film pixels, by the definition of the viewport.
        const [from, to] = [-offset / zoom, (200 - offset) / zoom];
        expect(left).toBeLessThanOrEqual(from - 1 + 1e-9);
        expect(left + side).toBeGreaterThanOrEqual(to + 1 - 1e-9);
        expect(top + side).toBeGreaterThanOrEqual((200 + offset) / zoom + 1 - 1e-9);
        expect(side).toBeLessThan(to - from + 5);
      }
  });

  it("has the film's own values in their places", () => {
    expect(shaded({ left: 1, top: 0, side: 2 })).toEqual([1001, 1002, 1005, 1006]);
  });

  it("has the surround beyond the rim and never the far side of another row", () => {
    expect(shaded({ left: -1, top: 2, side: 2 })).toEqual([
      BACK_SHADE,
      1008,
      BACK_SHADE,
      BACK_SHADE,
    ]);
    expect(shaded({ left: 3, top: -1, side: 2 })).toEqual([
      BACK_SHADE,
      BACK_SHADE,
      1003,
      BACK_SHADE,
    ]);
  });
});
