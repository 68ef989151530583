import { type Affine, apply } from "./registration.ts";
import { type Size, toImage, toScreen, type Viewport } from "../workbench/machine/viewport.ts";

/** How much larger the bone is on the second film than on the first. */
const growth = (m: Affine): number => Math.hypot(m.a, m.b);

/**
 * Where the first film must lie so that its bone has the size and place of the second's, which lies
 * at `view`. `m` leads from the first film to the second.
 */
export const linkedView = (view: Viewport, m: Affine, first: Size, stage: Size): Viewport => {
  const middle = toImage(view, { x: stage.width / 2, y: stage.height / 2 });
  // The point of the first film that belongs in the middle: undo the similarity.
  const det = m.a * m.d - m.b * m.c || 1;
  const [dx, dy] = [middle.x - m.e, middle.y - m.f];
  const at = { x: (m.d * dx - m.c * dy) / det, y: (m.a * dy - m.b * dx) / det };
  const zoom = view.zoom * growth(m);
  const inside = {
    x: Math.min(first.width, Math.max(0, at.x)),
    y: Math.min(first.height, Math.max(0, at.y)),
  };
  return {
    zoom,
    offset: {
      x: stage.width / 2 - (inside.x + 0.5) * zoom,
      y: stage.height / 2 - (inside.y + 0.5) * zoom,
    },
  };
};

/**
 * The matrix that turns a film drawn at `own` so that it lies on the other film drawn at `view`:
 * screen to screen, for the style of an element whose origin is its upper left corner.
 */
export const screenMatrix = (own: Viewport, m: Affine, view: Viewport): Affine => {
  const through = (x: number, y: number) => toScreen(view, apply(m, toImage(own, { x, y })));
  const [o, i, j] = [through(0, 0), through(1, 0), through(0, 1)];
  return { a: i.x - o.x, b: i.y - o.y, c: j.x - o.x, d: j.y - o.y, e: o.x, f: o.y };
};

export const cssMatrix = ({ a, b, c, d, e, f }: Affine): string =>
  `matrix(${[a, b, c, d, e, f].map((value) => value.toFixed(8)).join(",")})`;
