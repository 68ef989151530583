import type { FilmWindow } from "@heelward/radiograph/film";
import type { Viewport } from "../workbench/machine/viewport.ts";
import { canvasRenderer } from "./canvas-renderer.ts";
import { glRenderer } from "./gl-renderer.ts";
import { type Level, pyramidOf } from "./pyramid.ts";

/** A part of the stage in which the film is shown enlarged, in CSS pixels. */
export interface Loupe {
  readonly x: number;
  readonly y: number;
  readonly size: number;
  readonly view: Viewport;
}

export interface Scene {
  readonly view: Viewport;
  readonly window: FilmWindow;
  readonly isInverted: boolean;
  readonly loupe?: Loupe | undefined;
}

/** Draws one film. Sizes in CSS pixels; `density` is device pixels per CSS pixel. */
export interface Renderer {
  readonly kind: "gl" | "canvas";
  readonly draw: (scene: Scene, size: { width: number; height: number }, density: number) => void;
  readonly dispose: () => void;
}

/** Draws on the graphics card where there is one, else on a plain canvas. */
export const createRenderer = (
  canvas: HTMLCanvasElement,
  film: Level & { readonly bitsStored: number },
): Renderer => {
  const levels = pyramidOf(film);
  return glRenderer(canvas, levels) ?? canvasRenderer(canvas, levels, film.bitsStored);
};
