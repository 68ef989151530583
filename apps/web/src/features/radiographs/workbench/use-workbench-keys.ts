import { type KeyboardEvent, useState } from "react";
import type { Stage } from "../display/use-stage.ts";
import { toImage } from "./machine/viewport.ts";
import type { Point, Workbench, WorkbenchEvent } from "./machine/workbench.ts";

const NUDGE_PX = 0.25;
const LARGE_NUDGE_PX = 2;

const ARROWS: Readonly<Record<string, Point>> = {
  ArrowLeft: { x: -1, y: 0 },
  ArrowRight: { x: 1, y: 0 },
  ArrowUp: { x: 0, y: -1 },
  ArrowDown: { x: 0, y: 1 },
};

/** The way an arrow key points; undefined for other keys. */
export const arrowOf = (event: KeyboardEvent): Point | undefined => ARROWS[event.key];

/** How far an arrow key nudges: a quarter of a pixel, with Shift two. */
export const nudgeOf = (event: KeyboardEvent, arrow: Point): Point => {
  const step = event.shiftKey ? LARGE_NUDGE_PX : NUDGE_PX;
  return { x: arrow.x * step, y: arrow.y * step };
};

/** The keyboard on the stage: arrows nudge the point in hand or move the film, Enter places in the middle. */
export const useWorkbenchKeys = (
  state: Workbench,
  stage: Stage,
  onEvent: (event: WorkbenchEvent) => void,
  canEdit: boolean,
) => {
  const [isByKeys, setByKeys] = useState(false);
  const { size, view } = stage;
  const middle = { x: size.width / 2, y: size.height / 2 };
  const isPlaced = state.active !== undefined && state.points[state.active] !== undefined;
  const onKeyDown = (event: KeyboardEvent) => {
    const arrow = arrowOf(event);
    const isUndo = (event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z";
    const done = (): true => {
      event.preventDefault();
      setByKeys(true);
      return true;
    };
    if (arrow !== undefined && canEdit && isPlaced && !event.altKey) {
      onEvent({ type: "nudge", by: nudgeOf(event, arrow) });
      return done();
    }
    if (arrow !== undefined) {
      stage.panByKey(arrow);
      return done();
    }
    if (event.key === "+" || event.key === "=") {
      stage.zoom(middle, 1.25);
      return done();
    }
    if (event.key === "-") {
      stage.zoom(middle, 0.8);
      return done();
    }
    if (event.key === "0") {
      stage.fit();
      return done();
    }
    if (!canEdit) return false;
    if (isUndo) onEvent({ type: event.shiftKey ? "redo" : "undo" });
    else if (event.key === "Enter" && !isPlaced)
      onEvent({ type: "place", at: toImage(view, middle) });
    else if (event.key === "Delete" && state.active !== undefined)
      onEvent({ type: "remove", key: state.active });
    else if (event.key === "Escape") onEvent({ type: "abandon" });
    else if (event.key === "n" || event.key === "p")
      onEvent({ type: "step", by: event.key === "n" ? 1 : -1 });
    else return false;
    return done();
  };
  return { isByKeys, onKeyDown, onPointer: () => setByKeys(false) };
};
