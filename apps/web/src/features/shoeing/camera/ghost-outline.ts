import type { Grey } from "./photo-quality.ts";

/** Gradients below this part of the strongest are left out, so that only outlines show. House rule. */
const LEAST_SHARE = 0.22;

/**
 * The outline of a picture as alpha values 0–255: the strength of its edges by the Sobel operator,
 * weak ones left out. Source: Sobel & Feldman 1968, 3 × 3 gradient operator.
 */
export const ghostOutline = ({ widthPx, heightPx, values }: Grey): Uint8ClampedArray => {
  const strength = new Float32Array(widthPx * heightPx);
  const value = (x: number, y: number): number => values[y * widthPx + x] ?? 0;
  let strongest = 0;
  for (let y = 1; y < heightPx - 1; y += 1)
    for (let x = 1; x < widthPx - 1; x += 1) {
      const across =
        value(x + 1, y - 1) +
        2 * value(x + 1, y) +
        value(x + 1, y + 1) -
        value(x - 1, y - 1) -
        2 * value(x - 1, y) -
        value(x - 1, y + 1);
      const down =
        value(x - 1, y + 1) +
        2 * value(x, y + 1) +
        value(x + 1, y + 1) -
        value(x - 1, y - 1) -
        2 * value(x, y - 1) -
        value(x + 1, y - 1);
      const found = Math.hypot(across, down);
      strength[y * widthPx + x] = found;
      strongest = Math.max(strongest, found);
    }
  const least = strongest * LEAST_SHARE;
  return Uint8ClampedArray.from(strength, (one) =>
    strongest === 0 || one < least ? 0 : 90 + 165 * ((one - least) / (strongest - least)),
  );
};
