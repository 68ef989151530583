import type { Viewport } from "../workbench/machine/viewport.ts";
import type { Level } from "./pyramid.ts";
import { BACK_SHADE } from "./shades.ts";

/** A square of whole film pixels that covers a square of the screen. */
export interface Patch {
  /** The first column and row; outside the film where the square lies over its rim. */
  readonly left: number;
  readonly top: number;
  readonly side: number;
}

/** The film pixels seen in a square of `sidePx` CSS pixels, and one more on each side to mix with. */
export const patchUnder = ({ zoom, offset }: Viewport, sidePx: number): Patch => ({
  left: Math.floor(-offset.x / zoom) - 1,
  top: Math.floor(-offset.y / zoom) - 1,
  side: Math.ceil(sidePx / zoom) + 3,
});

/** Puts the colours of a patch of the film into `out`, row by row; beyond the film lies its surround. */
export const shadePatch = (
  { width, height, pixels }: Level,
  { left, top, side }: Patch,
  shades: Uint32Array,
  out: Uint32Array,
): void => {
  for (let y = 0; y < side; y += 1)
    for (let x = 0; x < side; x += 1) {
      const [column, row] = [left + x, top + y];
      const isOn = column >= 0 && row >= 0 && column < width && row < height;
      out[y * side + x] = isOn
        ? (shades[pixels[row * width + column] ?? 0] ?? BACK_SHADE)
        : BACK_SHADE;
    }
};
