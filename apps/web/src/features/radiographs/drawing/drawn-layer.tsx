import type { FilmOutline } from "@heelward/contracts";
import overlayStyles from "../workbench/overlay.module.css";
import { type Size, toScreen, type Viewport } from "../workbench/machine/viewport.ts";
import type { Point } from "../workbench/machine/workbench.ts";
import type { Drawing } from "./drawing.ts";
import styles from "./drawing.module.css";
import { COLOURS, type DrawnKind, isClosed } from "./kinds.ts";

/** Marks the corners of the drawing in hand for the gestures. */
export const CORNER = "corner:";

const Shape = ({
  view,
  kind,
  points,
  id,
}: {
  readonly view: Viewport;
  readonly kind: DrawnKind;
  readonly points: readonly Point[];
  readonly id?: string;
}) => {
  const text = points
    .map((point) => toScreen(view, point))
    .map(({ x, y }) => `${String(x)},${String(y)}`)
    .join(" ");
  const Line = isClosed(kind) ? "polygon" : "polyline";
  return (
    <g data-drawing={id}>
      <Line className={styles["under"]} points={text} />
      <Line className={styles["line"]} points={text} style={{ stroke: COLOURS[kind] }} />
    </g>
  );
};

const Label = ({ view, one }: { readonly view: Viewport; readonly one: FilmOutline }) => {
  const [first] = one.points;
  if (first === undefined || one.label === null) return null;
  const at = toScreen(view, first);
  return (
    <text className={overlayStyles["label"]} x={at.x + 8} y={at.y - 8}>
      {one.label}
    </text>
  );
};

/** Lines and outlines on the film, where they were drawn, and the one in hand with its corners. */
export const DrawnLayer = ({
  outlines,
  drawing,
  view,
  size,
}: {
  readonly outlines: readonly FilmOutline[];
  readonly drawing: Drawing | undefined;
  readonly view: Viewport;
  readonly size: Size;
}) => (
  <svg
    className={overlayStyles["overlay"]}
    viewBox={`0 0 ${String(size.width || 1)} ${String(size.height || 1)}`}
    aria-hidden
  >
    {outlines
      .filter((one) => one.id !== drawing?.replacesId)
      .map((one) => (
        <g key={one.id}>
          <Shape view={view} kind={one.kind} points={one.points} id={one.id} />
          <Label view={view} one={one} />
        </g>
      ))}
    {drawing === undefined ? null : (
      <g>
        <Shape view={view} kind={drawing.kind} points={drawing.points} />
        {drawing.points.map((point, index) => {
          const at = toScreen(view, point);
          return (
            <g
              key={index}
              data-mark={`${CORNER}${String(index)}`}
              className={overlayStyles["grip"]}
              transform={`translate(${String(at.x)} ${String(at.y)})`}
            >
              <circle className={overlayStyles["reach"]} r="22" />
              <circle
                className={index === drawing.chosen ? styles["cornerChosen"] : styles["corner"]}
                r={index === drawing.chosen ? 6 : 4}
              />
            </g>
          );
        })}
      </g>
    )}
  </svg>
);
