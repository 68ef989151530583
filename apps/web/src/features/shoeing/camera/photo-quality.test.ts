import { describe, expect, it } from "vitest";
import { ghostOutline } from "./ghost-outline.ts";
import { exposure, faultsOf, type Grey, greyOf, sharpness } from "./photo-quality.ts";
import { tiltDegrees } from "./tilt.ts";

const picture = (
  widthPx: number,
  heightPx: number,
  at: (x: number, y: number) => number,
): Grey => ({
  widthPx,
  heightPx,
  values: Uint8ClampedArray.from({ length: widthPx * heightPx }, (_, index) =>
    at(index % widthPx, Math.floor(index / widthPx)),
  ),
});
/** A hoof from the side, as a bright wedge before a dark ground, with the grain of horn. */
const hoof = picture(80, 60, (x, y) =>
  x > 20 && x < 60 && y > 80 - x ? 150 + ((x * 7 + y * 13) % 40) : 60,
);
/** The mean of the nine pixels around each: what a moved or unfocused shot looks like. */
const blurred = ({ widthPx, heightPx, values }: Grey): Grey =>
  picture(widthPx, heightPx, (x, y) => {
    let [sum, count] = [0, 0];
    for (let dy = -1; dy <= 1; dy += 1)
      for (let dx = -1; dx <= 1; dx += 1) {
        const [px, py] = [x + dx, y + dy];
        if (px < 0 || py < 0 || px >= widthPx || py >= heightPx) continue;
        sum += values[py * widthPx + px] ?? 0;
        count += 1;
      }
    return sum / count;
  });

describe("a shot that is poor", () => {
  it("is told by the variance of its Laplacian: 16 for a chequerboard of single steps, 0 for a plain wall", () => {
    // Each pixel differs from its four neighbours by 1: the Laplacian is ±4, its variance 16.
    expect(sharpness(picture(40, 40, (x, y) => 100 + ((x + y) % 2)))).toBeCloseTo(16, 1);
    expect(sharpness(picture(40, 40, () => 128))).toBe(0);
  });

  it("is sharper before it is blurred, however often that is done", () => {
    const once = blurred(hoof);
    expect(sharpness(hoof)).toBeGreaterThan(sharpness(once));
    expect(sharpness(once)).toBeGreaterThan(sharpness(blurred(once)));
  });

  it("is flagged as blurred, dark, bright or tilted, and a good one is not", () => {
    expect(faultsOf(hoof, 2)).toEqual([]);
    expect(
      faultsOf(
        picture(40, 40, () => 128),
        null,
      ),
    ).toEqual(["blurred"]);
    expect(
      faultsOf(
        picture(40, 40, (x) => x % 2),
        null,
      ),
    ).toContain("dark");
    expect(
      faultsOf(
        picture(40, 40, () => 255),
        null,
      ),
    ).toContain("bright");
    expect(faultsOf(hoof, 9)).toEqual(["tilted"]);
  });

  it("counts the shares that show nothing", () => {
    const half = picture(10, 10, (x) => (x < 5 ? 0 : 255));
    expect(exposure(half)).toEqual({ darkShare: 0.5, brightShare: 0.5 });
  });

  it("takes grey from colour as BT.601 has it", () => {
    const { values } = greyOf(new Uint8ClampedArray([255, 0, 0, 255, 0, 255, 0, 255]), 2, 1);
    expect([...values]).toEqual([76, 150]);
  });
});

describe("the ghost of the last photo", () => {
  it("is an outline: strong along the edge of the hoof, nothing where the picture is plain", () => {
    const step = picture(20, 10, (x) => (x < 10 ? 40 : 200));
    const alpha = ghostOutline(step);
    const row = Array.from(alpha.slice(5 * 20, 6 * 20));
    expect(row.flatMap((value, x) => (value > 0 ? [x] : []))).toEqual([9, 10]);
    expect(Math.max(...row)).toBe(255);
    expect(Math.max(...ghostOutline(picture(9, 9, () => 77)))).toBe(0);
  });
});

describe("the tilt of the phone", () => {
  it.each([
    ["upright", 90, 0, 0],
    ["leaning back by ten degrees", 80, 0, 10],
    ["on its long edge, lens level", 0, 90, 0],
    ["flat on the ground", 0, 0, 90],
  ])("is read from the device's angles: %s", (_, beta, gamma, expected) => {
    expect(tiltDegrees(beta, gamma)).toBeCloseTo(expected, 6);
  });
});
