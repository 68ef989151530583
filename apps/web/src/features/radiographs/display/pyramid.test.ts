import { describe, expect, it } from "vitest";
import { levelFor, pyramidOf } from "./pyramid.ts";

const flat = (width: number, height: number, value: number) => ({
  width,
  height,
  pixels: new Uint16Array(width * height).fill(value),
});

describe("halves of a film", () => {
  it("keep the mean grey of what they stand for, up to the brightest 16-bit value", () => {
    for (const level of pyramidOf(flat(3001, 2399, 65_535)))
      expect(level.pixels.every((value) => value === 65_535)).toBe(true);
    const checked = flat(512, 512, 0);
    checked.pixels.forEach((_, index) => {
      checked.pixels[index] = ((index % 512) + Math.floor(index / 512)) % 2 === 0 ? 1000 : 3000;
    });
    expect(pyramidOf(checked)[1]?.pixels.every((value) => value === 2000)).toBe(true);
  });

  it("go down until a small film is left", () => {
    const levels = pyramidOf(flat(3000, 2400, 7));
    expect(levels.map((level) => level.width)).toEqual([3000, 1500, 750, 375, 187]);
  });

  it("are chosen so that no film pixel is skipped", () => {
    expect(levelFor(2, 5)).toBe(0);
    expect(levelFor(0.6, 5)).toBe(0);
    expect(levelFor(0.5, 5)).toBe(1);
    expect(levelFor(0.2, 5)).toBe(2);
    expect(levelFor(0.001, 5)).toBe(4);
  });
});
