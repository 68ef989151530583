import { windowTable } from "@heelward/radiograph/display";
import type { Shading } from "./shading.ts";

/** What lies round a film, and its red, green, blue and cover as one number. */
export const BACK = "#0e0d0c";
export const BACK_SHADE = 0xff0c0d0e;

/** The colour on the screen of each grey value, red in the lowest byte, as image data is laid out. */
export const shadesOf = (bitsStored: number, { window, isInverted }: Shading): Uint32Array => {
  const table = windowTable(bitsStored, window);
  return Uint32Array.from(table, (shade) => {
    const grey = isInverted ? 255 - shade : shade;
    return ((255 << 24) | (grey << 16) | (grey << 8) | grey) >>> 0;
  });
};
