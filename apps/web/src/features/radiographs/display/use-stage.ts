import { type RefObject, useCallback, useLayoutEffect, useMemo, useRef, useState } from "react";
import type { Point } from "../workbench/machine/workbench.ts";
import {
  bringingIn,
  fitted,
  pannedBy,
  type Size,
  type Viewport,
  zoomedAt,
} from "../workbench/machine/viewport.ts";

/** The size of an element in CSS pixels, kept up to date. */
const useSize = (): readonly [RefObject<HTMLDivElement | null>, Size] => {
  const element = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState<Size>({ width: 0, height: 0 });
  useLayoutEffect(() => {
    const box = element.current;
    if (box === null) return undefined;
    const measure = () => {
      const { width, height } = box.getBoundingClientRect();
      setSize((before) =>
        before.width === width && before.height === height ? before : { width, height },
      );
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(box);
    return () => observer.disconnect();
  }, []);
  return [element, size];
};

/** How far an arrow key moves the film, in CSS pixels. */
const KEY_PAN_PX = 60;

/** A stage and how the film lies in it: the whole film until a person moves it. */
export const useStage = ({ widthPx, heightPx }: { widthPx: number; heightPx: number }) => {
  const [element, size] = useSize();
  const [moved, setMoved] = useState<Viewport>();
  const { width, height } = size;
  const change = useCallback(
    (by: (view: Viewport, film: Size, stage: Size) => Viewport) => {
      const film = { width: widthPx, height: heightPx };
      const stage = { width, height };
      setMoved((before) => by(before ?? fitted(film, stage), film, stage));
    },
    [widthPx, heightPx, width, height],
  );
  const pan = useCallback(
    (by: Point) => change((...now) => pannedBy(now[0], by, now[1], now[2])),
    [change],
  );
  const zoom = useCallback(
    (at: Point, factor: number) =>
      change((view, film, stage) => zoomedAt(view, at, factor, film, stage)),
    [change],
  );
  const bring = useCallback(
    (at: Point) => change((view, film, stage) => bringingIn(view, at, film, stage)),
    [change],
  );
  const panByKey = useCallback(
    (arrow: Point) => pan({ x: -arrow.x * KEY_PAN_PX, y: -arrow.y * KEY_PAN_PX }),
    [pan],
  );
  const fit = useCallback(() => setMoved(undefined), []);
  // One object for as long as the film lies still: whoever draws the film goes by that.
  const view = useMemo(
    () =>
      moved ??
      fitted(
        { width: widthPx, height: heightPx },
        width === 0 ? { width: 1, height: 1 } : { width, height },
      ),
    [moved, widthPx, heightPx, width, height],
  );
  const stage = { size, view, pan, panByKey, zoom, bring, fit };
  return [element, stage] as const;
};

export type StageRef = ReturnType<typeof useStage>[0];
export type Stage = ReturnType<typeof useStage>[1];
