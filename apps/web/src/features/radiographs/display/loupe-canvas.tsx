import type { Film } from "@heelward/radiograph/film";
import { useLayoutEffect, useMemo, useRef } from "react";
import styles from "./film.module.css";
import { type Patch, patchUnder, shadePatch } from "./patch.ts";
import { shadesOf } from "./shades.ts";
import type { Shading } from "./shading.ts";
import type { Loupe } from "./scene.ts";

/** Film pixels this large are shown as squares. */
const SQUARES_FROM = 7;

let sheet: OffscreenCanvas | undefined;
let image: ImageData | undefined;

/** The patch in colours. One sheet serves all: making one costs more than everything drawn on it. */
const sheetOf = (film: Film, patch: Patch, shades: Uint32Array): OffscreenCanvas => {
  if (image?.width !== patch.side) image = new ImageData(patch.side, patch.side);
  sheet ??= new OffscreenCanvas(patch.side, patch.side);
  if (sheet.width !== patch.side) {
    sheet.width = patch.side;
    sheet.height = patch.side;
  }
  const level = { width: film.widthPx, height: film.heightPx, pixels: film.pixels };
  shadePatch(level, patch, shades, new Uint32Array(image.data.buffer));
  sheet.getContext("2d", { willReadFrequently: true })?.putImageData(image, 0, 0);
  return sheet;
};

/**
 * The part of the film around a point, enlarged, on a small canvas of its own: it takes a few thousand
 * grey values, and the film beneath is not drawn again while a mark is dragged.
 */
export const LoupeCanvas = ({
  film,
  loupe,
  shading,
}: {
  readonly film: Film;
  readonly loupe: Loupe;
  readonly shading: Shading;
}) => {
  const canvas = useRef<HTMLCanvasElement>(null);
  const shades = useMemo(() => shadesOf(film.bitsStored, shading), [film, shading]);
  const density = Math.min(2, window.devicePixelRatio);
  const side = Math.round(loupe.size * density);
  useLayoutEffect(() => {
    const context = canvas.current?.getContext("2d", { alpha: false });
    if (context === null || context === undefined) return;
    const patch = patchUnder(loupe.view, loupe.size);
    const zoom = loupe.view.zoom * density;
    context.imageSmoothingEnabled = zoom < SQUARES_FROM;
    context.drawImage(
      sheetOf(film, patch, shades),
      patch.left * zoom + loupe.view.offset.x * density,
      patch.top * zoom + loupe.view.offset.y * density,
      patch.side * zoom,
      patch.side * zoom,
    );
  }, [film, loupe, shades, density]);
  return (
    <canvas
      ref={canvas}
      className={styles["loupe"]}
      width={side}
      height={side}
      style={{ left: loupe.x, top: loupe.y, width: loupe.size, height: loupe.size }}
    />
  );
};
