import sharp from "sharp";
import { applyDefaultDisplay, applyWindow } from "../display/window-level.ts";
import type { Film, FilmWindow } from "../film/film.ts";

/** How a film is to be shown as an ordinary picture. */
export interface RenderOptions {
  readonly format: "png" | "jpeg";
  /** Longest side of the result; the film is never enlarged. Absent means full size. */
  readonly maxSidePx?: number;
  /** Window to show; absent means as the file asks. */
  readonly window?: FilmWindow;
  readonly jpegQuality?: number;
}

/** An 8-bit grey PNG or JPEG of the film, without metadata. */
export const renderFilm = async (film: Film, options: RenderOptions): Promise<Uint8Array> => {
  const shown =
    options.window === undefined ? applyDefaultDisplay(film) : applyWindow(film, options.window);
  const grey = sharp(shown, { raw: { width: film.widthPx, height: film.heightPx, channels: 1 } });
  const side = options.maxSidePx;
  const sized =
    side === undefined
      ? grey
      : grey.resize({ width: side, height: side, fit: "inside", withoutEnlargement: true });
  const toned = sized.toColourspace("b-w");
  const written =
    options.format === "png" ? toned.png() : toned.jpeg({ quality: options.jpegQuality ?? 88 });
  return new Uint8Array(await written.toBuffer());
};

/** The film at its full depth as a 16-bit grey PNG, values unchanged. */
export const filmAsPng16 = async (film: Film): Promise<Uint8Array> =>
  new Uint8Array(
    await sharp(film.pixels, {
      raw: { width: film.widthPx, height: film.heightPx, channels: 1 },
    })
      .toColourspace("grey16")
      .png()
      .toBuffer(),
  );
