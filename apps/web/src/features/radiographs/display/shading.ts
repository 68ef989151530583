import { defaultWindow, windowFromPercentiles } from "@heelward/radiograph/display";
import type { Film, FilmWindow } from "@heelward/radiograph/film";
import type { Point } from "../workbench/machine/workbench.ts";

/** How bright and hard a film is shown. */
export interface Shading {
  readonly window: FilmWindow;
  readonly isInverted: boolean;
}

export type ShadingChoice = "file" | "whole" | "horn" | "bone";

/** Ramps for what one looks for. Horn and soft tissue lie in the darker part of the film, bone in the brighter. */
export const shadingFor = (film: Film, choice: ShadingChoice): FilmWindow => {
  if (choice === "file") return defaultWindow(film);
  const whole = windowFromPercentiles(film);
  const low = whole.centre - whole.width / 2;
  const part = (from: number, to: number): FilmWindow => ({
    shape: "linear",
    centre: low + (whole.width * (from + to)) / 2,
    width: whole.width * (to - from),
  });
  if (choice === "horn") return part(0, 0.55);
  if (choice === "bone") return part(0.35, 1);
  return whole;
};

/** Dragging right makes harder, up makes brighter; a stage-wide drag covers the film's whole range. */
export const shadedBy = (window: FilmWindow, by: Point, bitsStored: number): FilmWindow => {
  const range = 2 ** bitsStored;
  return {
    ...window,
    centre: Math.min(range, Math.max(0, window.centre + (by.y / 800) * range)),
    width: Math.min(2 * range, Math.max(range / 512, window.width * Math.exp(-by.x / 300))),
  };
};
