import type { Loupe } from "../display/scene.ts";
import type { Point } from "./machine/workbench.ts";
import { type Size, toScreen, type Viewport } from "./machine/viewport.ts";

const LARGEST_PX = 200;
const GAP_PX = 10;

/** A loupe on a point of the film, in the corner of the stage that is away from it. */
export const loupeOn = (at: Point, view: Viewport, stage: Size): Loupe => {
  const size = Math.round(Math.min(LARGEST_PX, stage.width * 0.42, stage.height * 0.42));
  const zoom = Math.min(16, Math.max(3, view.zoom * 4));
  const shown = toScreen(view, at);
  return {
    x: shown.x < stage.width / 2 ? stage.width - size - GAP_PX : GAP_PX,
    y: GAP_PX,
    size,
    view: {
      zoom,
      offset: { x: size / 2 - (at.x + 0.5) * zoom, y: size / 2 - (at.y + 0.5) * zoom },
    },
  };
};
