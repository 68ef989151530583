import { canvasRenderer } from "./canvas-renderer.ts";
import { glRenderer } from "./gl-renderer.ts";
import { type Level, pyramidOf } from "./pyramid.ts";
import type { Renderer } from "./scene.ts";

/** Draws on the graphics card where there is one, else on a plain canvas. */
export const createRenderer = (
  canvas: HTMLCanvasElement,
  film: Level & { readonly bitsStored: number },
): Renderer => {
  const levels = pyramidOf(film);
  return glRenderer(canvas, levels) ?? canvasRenderer(canvas, levels, film.bitsStored);
};
