import type { Point } from "../workbench/machine/workbench.ts";
import { type DrawnKind, MOST_POINTS } from "./kinds.ts";

/** A line or outline in hand: its points in image pixels, in order. */
export interface Drawing {
  readonly kind: DrawnKind;
  readonly points: readonly Point[];
  /** The drawing on record that this one takes the place of. */
  readonly replacesId: string | undefined;
  /** The point in hand: nudged, taken away, and the one after which the next is put. */
  readonly chosen: number | undefined;
  readonly grab: { readonly index: number; readonly from: Point } | undefined;
  readonly past: readonly (readonly Point[])[];
}

export type DrawingEvent =
  | {
      readonly type: "begin";
      readonly kind: DrawnKind;
      readonly points?: readonly Point[];
      readonly replacesId?: string;
    }
  | { readonly type: "add"; readonly at: Point }
  | { readonly type: "choose"; readonly index: number }
  | { readonly type: "grab"; readonly index: number }
  | { readonly type: "drag"; readonly by: Point }
  | { readonly type: "drop" }
  | { readonly type: "nudge"; readonly by: Point }
  | { readonly type: "remove" }
  | { readonly type: "undo" }
  | { readonly type: "end" };

const MOST_STEPS = 200;

/** A hundredth of a pixel is far below what a hand can do. */
const round = ({ x, y }: Point): Point => ({
  x: Math.round(x * 100) / 100,
  y: Math.round(y * 100) / 100,
});

const changed = (
  drawing: Drawing,
  points: readonly Point[],
  chosen: number | undefined,
): Drawing => ({
  ...drawing,
  points,
  chosen,
  grab: undefined,
  past: [...drawing.past, drawing.points].slice(-MOST_STEPS),
});

const moved = (drawing: Drawing, index: number, to: Point): readonly Point[] =>
  drawing.points.with(index, round(to));

/** What a move makes of the drawing in hand; undefined when none is. */
export const draw = (drawing: Drawing | undefined, event: DrawingEvent): Drawing | undefined => {
  if (event.type === "begin") {
    const points = event.points ?? [];
    return {
      kind: event.kind,
      points,
      replacesId: event.replacesId,
      chosen: points.length === 0 ? undefined : points.length - 1,
      grab: undefined,
      past: [],
    };
  }
  if (drawing === undefined || event.type === "end") return undefined;
  const { points, chosen, grab } = drawing;
  switch (event.type) {
    case "add": {
      if (points.length >= MOST_POINTS) return drawing;
      const index = chosen === undefined ? points.length : chosen + 1;
      return changed(drawing, points.toSpliced(index, 0, round(event.at)), index);
    }
    case "choose":
      return event.index in points ? { ...drawing, chosen: event.index } : drawing;
    case "grab": {
      const from = points[event.index];
      if (from === undefined) return drawing;
      return {
        ...drawing,
        chosen: event.index,
        grab: { index: event.index, from },
        past: [...drawing.past, points].slice(-MOST_STEPS),
      };
    }
    case "drag":
      if (grab === undefined) return drawing;
      return {
        ...drawing,
        points: moved(drawing, grab.index, {
          x: grab.from.x + event.by.x,
          y: grab.from.y + event.by.y,
        }),
      };
    case "drop":
      return { ...drawing, grab: undefined };
    case "nudge": {
      const from = chosen === undefined ? undefined : points[chosen];
      if (chosen === undefined || from === undefined) return drawing;
      return changed(
        drawing,
        moved(drawing, chosen, { x: from.x + event.by.x, y: from.y + event.by.y }),
        chosen,
      );
    }
    case "remove": {
      if (chosen === undefined) return drawing;
      const rest = points.toSpliced(chosen, 1);
      return changed(drawing, rest, rest.length === 0 ? undefined : Math.max(0, chosen - 1));
    }
    case "undo": {
      const before = drawing.past.at(-1);
      if (before === undefined) return drawing;
      return {
        ...drawing,
        points: before,
        chosen: before.length === 0 ? undefined : before.length - 1,
        grab: undefined,
        past: drawing.past.slice(0, -1),
      };
    }
  }
};
