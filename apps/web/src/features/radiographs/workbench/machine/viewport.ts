import type { Point } from "./workbench.ts";

/** How a film is shown: screen = (image + ½) × zoom + offset, so that pixel edges meet the screen's. */
export interface Viewport {
  readonly zoom: number;
  readonly offset: Point;
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

const CLOSEST = 24;
const MARGIN = 0.97;

export const toScreen = ({ zoom, offset }: Viewport, at: Point): Point => ({
  x: (at.x + 0.5) * zoom + offset.x,
  y: (at.y + 0.5) * zoom + offset.y,
});

export const toImage = ({ zoom, offset }: Viewport, at: Point): Point => ({
  x: (at.x - offset.x) / zoom - 0.5,
  y: (at.y - offset.y) / zoom - 0.5,
});

/** The whole film in the middle of the stage. */
export const fitted = (film: Size, stage: Size): Viewport => {
  const zoom = Math.min(stage.width / film.width, stage.height / film.height) * MARGIN || 1;
  return {
    zoom,
    offset: {
      x: (stage.width - film.width * zoom) / 2,
      y: (stage.height - film.height * zoom) / 2,
    },
  };
};

/** Some of the film always stays in sight. */
const kept = (view: Viewport, film: Size, stage: Size): Viewport => {
  const keep = (offset: number, length: number, room: number): number =>
    Math.min(room * 0.75, Math.max(room * 0.25 - length * view.zoom, offset));
  return {
    zoom: view.zoom,
    offset: {
      x: keep(view.offset.x, film.width, stage.width),
      y: keep(view.offset.y, film.height, stage.height),
    },
  };
};

/** Nearer by a factor, the point under the pointer staying where it is. */
export const zoomedAt = (
  view: Viewport,
  at: Point,
  factor: number,
  film: Size,
  stage: Size,
): Viewport => {
  const widest = fitted(film, stage).zoom * 0.6;
  const zoom = Math.min(CLOSEST, Math.max(widest, view.zoom * factor));
  const still = toImage(view, at);
  return kept(
    {
      zoom,
      offset: { x: at.x - (still.x + 0.5) * zoom, y: at.y - (still.y + 0.5) * zoom },
    },
    film,
    stage,
  );
};

export const pannedBy = (view: Viewport, by: Point, film: Size, stage: Size): Viewport =>
  kept(
    { zoom: view.zoom, offset: { x: view.offset.x + by.x, y: view.offset.y + by.y } },
    film,
    stage,
  );

/** Brings a point of the film into the stage if it lies outside it or near its rim. */
export const bringingIn = (view: Viewport, at: Point, film: Size, stage: Size): Viewport => {
  const shown = toScreen(view, at);
  const rim = Math.min(60, stage.width / 4, stage.height / 4);
  const isIn =
    shown.x >= rim &&
    shown.y >= rim &&
    shown.x <= stage.width - rim &&
    shown.y <= stage.height - rim;
  if (isIn) return view;
  return pannedBy(
    view,
    { x: stage.width / 2 - shown.x, y: stage.height / 2 - shown.y },
    film,
    stage,
  );
};
