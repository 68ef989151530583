import type { FilmWindow } from "@heelward/radiograph/film";
import type { Viewport } from "../workbench/machine/viewport.ts";

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
}

/** Draws one film. Sizes in CSS pixels; `density` is device pixels per CSS pixel. */
export interface Renderer {
  readonly kind: "gl" | "canvas";
  readonly draw: (scene: Scene, size: { width: number; height: number }, density: number) => void;
  readonly dispose: () => void;
}
