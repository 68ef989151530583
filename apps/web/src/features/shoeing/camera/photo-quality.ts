/** A grey picture: one value 0–255 a pixel, row by row. */
export interface Grey {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly values: Uint8ClampedArray | Uint8Array;
}

/** Grey values of an RGBA picture. Source: luma weights of ITU-R BT.601. */
export const greyOf = (rgba: Uint8ClampedArray, widthPx: number, heightPx: number): Grey => {
  const values = new Uint8ClampedArray(widthPx * heightPx);
  for (let at = 0; at < values.length; at += 1)
    values[at] =
      0.299 * (rgba[at * 4] ?? 0) +
      0.587 * (rgba[at * 4 + 1] ?? 0) +
      0.114 * (rgba[at * 4 + 2] ?? 0);
  return { widthPx, heightPx, values };
};

/**
 * How sharp a picture is: the variance of its Laplacian (4-neighbour kernel). Blurring only lowers it.
 * Source: Pech-Pacheco et al. 2000, Diatom autofocusing in brightfield microscopy (LAPV measure).
 */
export const sharpness = ({ widthPx, heightPx, values }: Grey): number => {
  let [sum, sumOfSquares, count] = [0, 0, 0];
  const value = (at: number): number => values[at] ?? 0;
  for (let y = 1; y < heightPx - 1; y += 1)
    for (let x = 1; x < widthPx - 1; x += 1) {
      const at = y * widthPx + x;
      const laplacian =
        value(at - 1) + value(at + 1) + value(at - widthPx) + value(at + widthPx) - 4 * value(at);
      sum += laplacian;
      sumOfSquares += laplacian * laplacian;
      count += 1;
    }
  if (count === 0) return 0;
  const mean = sum / count;
  return sumOfSquares / count - mean * mean;
};

/** Shares of the picture, 0–1, that are so dark or so bright that nothing can be seen in them. */
export const exposure = ({
  values,
}: Grey): { readonly darkShare: number; readonly brightShare: number } => {
  let [dark, bright] = [0, 0];
  for (const value of values) {
    if (value < 24) dark += 1;
    if (value > 250) bright += 1;
  }
  const all = Math.max(1, values.length);
  return { darkShare: dark / all, brightShare: bright / all };
};

export type Fault = "blurred" | "dark" | "bright" | "tilted";

/** When a shot is flagged. House rules, measured on pictures scaled to {@link JUDGED_AT_PX} wide. */
export const QUALITY = {
  leastSharpness: 40,
  mostDarkShare: 0.6,
  mostBrightShare: 0.35,
  mostTiltDegrees: 5,
} as const;
export const JUDGED_AT_PX = 320;

/** What is wrong with a shot; it is flagged, never blocked: a poor picture is better than none. */
export const faultsOf = (grey: Grey, tiltDegrees: number | null): readonly Fault[] => {
  const { darkShare, brightShare } = exposure(grey);
  return [
    ...(sharpness(grey) < QUALITY.leastSharpness ? (["blurred"] as const) : []),
    ...(darkShare > QUALITY.mostDarkShare ? (["dark"] as const) : []),
    ...(brightShare > QUALITY.mostBrightShare ? (["bright"] as const) : []),
    ...(tiltDegrees !== null && tiltDegrees > QUALITY.mostTiltDegrees ? (["tilted"] as const) : []),
  ];
};
