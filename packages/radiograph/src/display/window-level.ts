import type { Film, FilmWindow } from "../film/film.ts";

/** Share of pixels that the first view clips at each end; common practice, no source. */
const clippedShare = 0.005;

const highestValue = (film: Film): number => 2 ** film.bitsStored - 1;

const histogramOf = (film: Film): Uint32Array => {
  const counts = new Uint32Array(2 ** film.bitsStored);
  for (const value of film.pixels) counts[value] = (counts[value] ?? 0) + 1;
  return counts;
};

const valueBelowWhich = (counts: Uint32Array, wanted: number): number => {
  let seen = 0;
  for (let value = 0; value < counts.length; value += 1) {
    seen += counts[value] ?? 0;
    if (seen > wanted) return value;
  }
  return counts.length - 1;
};

/** The window that spans all but the darkest and brightest half per cent of the pixels. */
export const windowFromPercentiles = (film: Film): FilmWindow => {
  const counts = histogramOf(film);
  const low = valueBelowWhich(counts, film.pixels.length * clippedShare);
  const high = valueBelowWhich(counts, film.pixels.length * (1 - clippedShare));
  return { shape: "linear", centre: (low + high) / 2, width: Math.max(1, high - low) };
};

/** The file's own window if it has one, else {@link windowFromPercentiles}. */
export const defaultWindow = (film: Film): FilmWindow => film.window ?? windowFromPercentiles(film);

const shade = (value: number, window: FilmWindow): number => {
  const position = (value - window.centre) / Math.max(window.width, 1e-9);
  if (window.shape === "sigmoid") return 1 / (1 + Math.exp(-4 * position));
  return Math.min(1, Math.max(0, position + 0.5));
};

/**
 * Brightness 0–255 for every possible pixel value.
 * source: DICOM PS3.3 C.11.2.1.2 (linear and sigmoid VOI functions).
 */
export const windowTable = (bitsStored: number, window: FilmWindow): Uint8Array =>
  Uint8Array.from({ length: 2 ** bitsStored }, (_, value) =>
    Math.round(255 * shade(value, window)),
  );

// A plain loop: the mapping form of `from` is an order of magnitude slower on seven million pixels.
const throughTable = (pixels: Uint16Array, table: Uint8Array): Uint8Array => {
  const shown = new Uint8Array(pixels.length);
  for (let index = 0; index < pixels.length; index += 1) shown[index] = table[pixels[index]!]!;
  return shown;
};

/** The film as 8-bit brightness, row by row, under the given window. */
export const applyWindow = (film: Film, window: FilmWindow): Uint8Array =>
  throughTable(film.pixels, windowTable(film.bitsStored, window));

/** The film as the file asks to be seen: its lookup table, its window, or percentiles. */
export const applyDefaultDisplay = (film: Film): Uint8Array => {
  const table = film.displayTable;
  if (table === undefined) return applyWindow(film, defaultWindow(film));
  return throughTable(
    film.pixels,
    Uint8Array.from(table, (value) => Math.round(value / 257)),
  );
};

/** The film with black and white exchanged, for readers who want bone dark. */
export const inverted = (film: Film): Film => {
  const top = highestValue(film);
  const { window, displayTable, ...rest } = film;
  return {
    ...rest,
    pixels: film.pixels.map((value) => top - value),
    ...(window === undefined ? {} : { window: { ...window, centre: top - window.centre } }),
    ...(displayTable === undefined
      ? {}
      : {
          displayTable: displayTable.map((_, index) => 65_535 - (displayTable[top - index] ?? 0)),
        }),
  };
};
