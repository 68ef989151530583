import { type PointerEvent, type RefObject, useEffect, useRef } from "react";
import type { Point } from "../workbench/machine/workbench.ts";

export interface Gestures {
  /** A mark under the pointer is taken up. */
  readonly onGrab?: (key: string) => void;
  /** Way in CSS pixels since the mark was taken up. */
  readonly onDrag?: (by: Point) => void;
  readonly onDrop?: () => void;
  /** A short touch without a move; `key` names the mark it was on. */
  readonly onTap?: (at: Point, key: string | undefined) => void;
  readonly onHover?: (at: Point | undefined) => void;
  readonly onPan: (by: Point) => void;
  readonly onZoom: (at: Point, factor: number) => void;
  /** Right button or Shift: brightness and contrast. */
  readonly onShade?: (by: Point) => void;
}

interface Hand {
  readonly start: Point;
  /** The mark it came down on. A mark is taken up by moving it; a tap beside it places the next. */
  readonly key: string | undefined;
  last: Point;
}

const SLOP_PX = 4;
const MARK = "data-mark";

/** Mouse, pen and fingers on a film: wheel and pinch to come nearer, drag to move it, marks to take up. */
export const useGestures = (element: RefObject<HTMLElement | null>, gestures: Gestures) => {
  const current = useRef(gestures);
  useEffect(() => {
    current.current = gestures;
  });
  const hands = useRef(new Map<number, Hand>());
  const doing = useRef<"nothing" | "maybe tap" | "pan" | "grab" | "shade" | "pinch">("nothing");

  const inStage = (event: { clientX: number; clientY: number }): Point => {
    const box = element.current?.getBoundingClientRect();
    return { x: event.clientX - (box?.left ?? 0), y: event.clientY - (box?.top ?? 0) };
  };

  useEffect(() => {
    const box = element.current;
    if (box === null) return undefined;
    const onWheel = (event: WheelEvent) => {
      event.preventDefault();
      const lines = event.deltaMode === 1 ? 30 : 1;
      current.current.onZoom(
        inStage(event),
        Math.exp(-Math.max(-240, Math.min(240, event.deltaY * lines)) / 480),
      );
    };
    box.addEventListener("wheel", onWheel, { passive: false });
    return () => box.removeEventListener("wheel", onWheel);
  });

  const onPointerDown = (event: PointerEvent<HTMLElement>) => {
    const at = inStage(event);
    event.currentTarget.setPointerCapture(event.pointerId);
    const key = (event.target as Element).closest(`[${MARK}]`)?.getAttribute(MARK) ?? undefined;
    hands.current.set(event.pointerId, { start: at, key, last: at });
    if (hands.current.size === 2) {
      if (doing.current === "grab") current.current.onDrop?.();
      doing.current = "pinch";
      return;
    }
    doing.current = event.button === 2 || event.shiftKey ? "shade" : "maybe tap";
  };

  const pinch = (id: number, at: Point) => {
    const moved = hands.current.get(id);
    const other = [...hands.current].find(([one]) => one !== id)?.[1];
    if (moved === undefined || other === undefined) return;
    const span = (point: Point) => Math.hypot(point.x - other.last.x, point.y - other.last.y);
    const middle = { x: (at.x + other.last.x) / 2, y: (at.y + other.last.y) / 2 };
    const [before, after] = [span(moved.last), span(at)];
    current.current.onPan({ x: (at.x - moved.last.x) / 2, y: (at.y - moved.last.y) / 2 });
    if (before > 8 && after > 8) current.current.onZoom(middle, after / before);
  };

  const onPointerMove = (event: PointerEvent<HTMLElement>) => {
    const at = inStage(event);
    const hand = hands.current.get(event.pointerId);
    if (hand === undefined) {
      if (event.pointerType === "mouse") current.current.onHover?.(at);
      return;
    }
    const step = { x: at.x - hand.last.x, y: at.y - hand.last.y };
    const way = { x: at.x - hand.start.x, y: at.y - hand.start.y };
    if (doing.current === "pinch") pinch(event.pointerId, at);
    if (doing.current === "maybe tap" && Math.hypot(way.x, way.y) > SLOP_PX) {
      if (hand.key !== undefined && current.current.onGrab !== undefined) {
        doing.current = "grab";
        current.current.onGrab(hand.key);
      } else {
        doing.current = "pan";
        current.current.onPan(way);
      }
    } else if (doing.current === "pan") current.current.onPan(step);
    if (doing.current === "grab") current.current.onDrag?.(way);
    if (doing.current === "shade") current.current.onShade?.(step);
    hand.last = at;
  };

  const onPointerUp = (event: PointerEvent<HTMLElement>) => {
    const key = hands.current.get(event.pointerId)?.key;
    if (!hands.current.delete(event.pointerId)) return;
    if (doing.current === "grab") current.current.onDrop?.();
    if (doing.current === "maybe tap" && event.type === "pointerup")
      current.current.onTap?.(inStage(event), key);
    if (hands.current.size === 0) doing.current = "nothing";
  };

  return {
    onPointerDown,
    onPointerMove,
    onPointerUp,
    onPointerCancel: onPointerUp,
    onPointerLeave: () => current.current.onHover?.(undefined),
    onContextMenu: (event: { preventDefault: () => void }) => event.preventDefault(),
  };
};
