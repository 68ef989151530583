/** Grey values of a film at one size, row by row. */
export interface Level {
  readonly width: number;
  readonly height: number;
  readonly pixels: Uint16Array;
}

const half = ({ width, height, pixels }: Level): Level => {
  const [w, h] = [Math.max(1, width >> 1), Math.max(1, height >> 1)];
  const out = new Uint16Array(w * h);
  for (let y = 0; y < h; y += 1) {
    const upper = Math.min(height - 1, 2 * y) * width;
    const lower = Math.min(height - 1, 2 * y + 1) * width;
    for (let x = 0; x < w; x += 1) {
      const [left, right] = [Math.min(width - 1, 2 * x), Math.min(width - 1, 2 * x + 1)];
      const sum =
        (pixels[upper + left] ?? 0) +
        (pixels[upper + right] ?? 0) +
        (pixels[lower + left] ?? 0) +
        (pixels[lower + right] ?? 0);
      out[y * w + x] = (sum + 2) >> 2;
    }
  }
  return { width: w, height: h, pixels: out };
};

/**
 * The film and its halves down to some 256 pixels: a film shown small is drawn from the half that
 * fits, so that no detail is skipped and no time is lost.
 */
export const pyramidOf = (film: Level): readonly Level[] => {
  const levels = [film];
  for (let last = film; Math.max(last.width, last.height) > 256;) {
    last = half(last);
    levels.push(last);
  }
  return levels;
};

/** Which level to draw from at a zoom (screen pixels per film pixel). */
export const levelFor = (zoom: number, count: number): number =>
  Math.min(count - 1, Math.max(0, Math.floor(-Math.log2(Math.max(zoom, 1e-6)) + 1e-9)));
