import type { KeyboardEvent } from "react";
import type { Gestures } from "../display/use-gestures.ts";
import type { Stage } from "../display/use-stage.ts";
import { toImage, type Viewport } from "../workbench/machine/viewport.ts";
import type { Point } from "../workbench/machine/workbench.ts";
import { arrowOf, nudgeOf } from "../workbench/use-workbench-keys.ts";
import type { Drawing, DrawingEvent } from "./drawing.ts";
import { CORNER } from "./drawn-layer.tsx";

const cornerOf = (key: string | undefined): number | undefined =>
  key?.startsWith(CORNER) === true ? Number(key.slice(CORNER.length)) : undefined;

/** Mouse and fingers while a drawing is in hand: a tap puts a corner, a drag moves one. */
export const drawingGestures = (
  drawing: Drawing,
  view: Viewport,
  onEvent: (event: DrawingEvent) => void,
): Pick<Gestures, "onGrab" | "onDrag" | "onDrop" | "onTap"> => ({
  onGrab: (key) => {
    const index = cornerOf(key);
    if (index !== undefined) onEvent({ type: "grab", index });
  },
  onDrag: (by) => onEvent({ type: "drag", by: { x: by.x / view.zoom, y: by.y / view.zoom } }),
  onDrop: () => onEvent({ type: "drop" }),
  onTap: (at: Point, key) => {
    const index = cornerOf(key);
    if (index !== undefined && index !== drawing.chosen) onEvent({ type: "choose", index });
    else onEvent({ type: "add", at: toImage(view, at) });
  },
});

/** Keys while a drawing is in hand: Enter puts a corner in the middle, arrows nudge the one in hand. */
export const useDrawingKeys = (
  drawing: Drawing | undefined,
  stage: Stage,
  onEvent: (event: DrawingEvent) => void,
) => {
  const middle = { x: stage.size.width / 2, y: stage.size.height / 2 };
  const moved = (event: KeyboardEvent): boolean => {
    const arrow = arrowOf(event);
    if (arrow === undefined) return false;
    if (event.altKey || drawing?.chosen === undefined) stage.panByKey(arrow);
    else onEvent({ type: "nudge", by: nudgeOf(event, arrow) });
    return true;
  };
  return (event: KeyboardEvent) => {
    const isUndo = (event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z";
    if (moved(event)) event.preventDefault();
    else if (isUndo) onEvent({ type: "undo" });
    else if (event.key === "Enter") onEvent({ type: "add", at: toImage(stage.view, middle) });
    else if (event.key === "Delete" || event.key === "Backspace") onEvent({ type: "remove" });
    else if (event.key === "Escape") onEvent({ type: "end" });
    else if (event.key === "+" || event.key === "=") stage.zoom(middle, 1.25);
    else if (event.key === "-") stage.zoom(middle, 0.8);
    else if (event.key === "0") stage.fit();
    else return;
    event.preventDefault();
  };
};
