import { memo } from "react";
import {
  articularCircle,
  constructionLines,
  type FilmView,
  frontConstructionLines,
} from "@heelward/domain/geometry";
import type { Loupe } from "../display/scene.ts";
import { type Point, type Points, type Workbench } from "./machine/workbench.ts";
import { type Size, toScreen, type Viewport } from "./machine/viewport.ts";
import styles from "./overlay.module.css";

const linesOf = (view: FilmView, points: Points) =>
  view === "lateromedial" ? constructionLines(points) : frontConstructionLines(points);

const MEASURES_ON_LINE: Readonly<Record<string, string>> = {
  capsularRotation: "dorsalWallAngle",
  palmarAngleFoot: "palmarAngleGround",
  foreProportion: "leverArm",
  aftProportion: "leverArm",
};

const Line = ({
  view,
  from,
  to,
  className,
}: {
  readonly view: Viewport;
  readonly from: Point;
  readonly to: Point;
  readonly className: string | undefined;
}) => {
  const [a, b] = [toScreen(view, from), toScreen(view, to)];
  return <line className={className} x1={a.x} y1={a.y} x2={b.x} y2={b.y} />;
};

/** The ground drawn across the stage, so that its slant is seen. */
const groundOf = (points: Points): readonly [Point, Point] | undefined => {
  const [a, b] = [
    points["groundToe"] ?? points["groundMedial"],
    points["groundHeel"] ?? points["groundLateral"],
  ];
  return a === undefined || b === undefined ? undefined : [a, b];
};

const markClass = (isActive: boolean, isGhost: boolean): string =>
  [styles["mark"], isActive ? styles["active"] : "", isGhost ? styles["ghost"] : ""].join(" ");

/** Marks of another set, faint, for comparing two readings. */
const Ghost = ({ view, points }: { readonly view: Viewport; readonly points: Points }) => (
  <g aria-hidden>
    {Object.entries(points).map(([key, point]) => {
      const at = toScreen(view, point);
      return (
        <path
          key={key}
          className={markClass(false, true)}
          d={`M${String(at.x - 6)} ${String(at.y - 6)}l12 12m0 -12l-12 12`}
        />
      );
    })}
  </g>
);

const Refined = ({
  view,
  refinement,
}: {
  readonly view: Viewport;
  readonly refinement: NonNullable<Workbench["refinement"]>;
}) => (
  <g aria-hidden>
    {refinement.samples.map(({ at, isUsed }, index) => {
      const shown = toScreen(view, at);
      return (
        <circle
          key={index}
          className={isUsed ? styles["sample"] : styles["sampleOff"]}
          cx={shown.x}
          cy={shown.y}
          r="2"
        />
      );
    })}
    {refinement.moves.map((move) => (
      <Line key={move.key} view={view} from={move.from} to={move.to} className={styles["moved"]} />
    ))}
  </g>
);

/** One mark; while another is dragged it stays as it is. */
const Mark = memo(
  ({
    id,
    x,
    y,
    isActive,
    label,
    canEdit,
  }: {
    readonly id: string;
    readonly x: number;
    readonly y: number;
    readonly isActive: boolean;
    readonly label: string | undefined;
    readonly canEdit: boolean;
  }) => (
    <g
      data-mark={canEdit ? id : undefined}
      className={canEdit ? styles["grip"] : undefined}
      transform={`translate(${String(x)} ${String(y)})`}
    >
      <circle className={styles["reach"]} r="22" />
      <path className={styles["shade"]} d="M-9 0h6M3 0h6M0 -9v6M0 3v6" />
      <path className={markClass(isActive, false)} d="M-9 0h6M3 0h6M0 -9v6M0 3v6" />
      <circle className={markClass(isActive, false)} r={isActive ? 7 : 4} />
      {isActive ? (
        <text className={styles["label"]} x="13" y="-9">
          {label}
        </text>
      ) : null}
    </g>
  ),
);

/** Marks, construction lines and the loupe's cross, in screen pixels over the film. */
export const Overlay = ({
  filmView,
  state,
  view,
  size,
  labels,
  chosenMeasure,
  ghost,
  loupe,
  canEdit,
  showsCentre,
}: {
  readonly filmView: FilmView;
  readonly state: Workbench;
  readonly view: Viewport;
  readonly size: Size;
  readonly labels: ReadonlyMap<string, string>;
  readonly chosenMeasure: string | undefined;
  readonly ghost: Points | undefined;
  readonly loupe: Loupe | undefined;
  readonly canEdit: boolean;
  readonly showsCentre: boolean;
}) => {
  const { points, active, refinement } = state;
  const circle = filmView === "lateromedial" ? articularCircle(points) : undefined;
  const ground = groundOf(points);
  const lined =
    chosenMeasure === undefined ? undefined : (MEASURES_ON_LINE[chosenMeasure] ?? chosenMeasure);
  return (
    <svg
      className={styles["overlay"]}
      viewBox={`0 0 ${String(size.width || 1)} ${String(size.height || 1)}`}
      aria-hidden
    >
      {ground === undefined ? null : (
        <Line view={view} from={ground[0]} to={ground[1]} className={styles["ground"]} />
      )}
      {linesOf(filmView, points).map((line) => (
        <Line
          key={line.measure}
          view={view}
          from={line.from}
          to={line.to}
          className={line.measure === lined ? styles["lineChosen"] : styles["line"]}
        />
      ))}
      {circle === undefined ? null : (
        <g>
          <circle
            className={styles["line"]}
            cx={toScreen(view, circle.centre).x}
            cy={toScreen(view, circle.centre).y}
            r={circle.radius * view.zoom}
          />
          <circle
            className={styles["centre"]}
            cx={toScreen(view, circle.centre).x}
            cy={toScreen(view, circle.centre).y}
            r="3"
          />
        </g>
      )}
      {ghost === undefined ? null : <Ghost view={view} points={ghost} />}
      {refinement === undefined ? null : <Refined view={view} refinement={refinement} />}
      {Object.entries(points).map(([key, point]) => {
        const { x, y } = toScreen(view, point);
        return (
          <Mark
            key={key}
            id={key}
            x={x}
            y={y}
            isActive={key === active}
            label={labels.get(key)}
            canEdit={canEdit}
          />
        );
      })}
      {showsCentre ? (
        <path
          className={styles["aim"]}
          d={`M${String(size.width / 2 - 14)} ${String(size.height / 2)}h28M${String(size.width / 2)} ${String(size.height / 2 - 14)}v28`}
        />
      ) : null}
      {loupe === undefined ? null : (
        <g
          data-loupe={loupe.view.zoom}
          transform={`translate(${String(loupe.x)} ${String(loupe.y)})`}
        >
          <rect className={styles["loupe"]} width={loupe.size} height={loupe.size} />
          <path
            className={styles["loupeCross"]}
            d={`M0 ${String(loupe.size / 2)}H${String(loupe.size / 2 - 5)}M${String(loupe.size / 2 + 5)} ${String(loupe.size / 2)}H${String(loupe.size)}M${String(loupe.size / 2)} 0V${String(loupe.size / 2 - 5)}M${String(loupe.size / 2)} ${String(loupe.size / 2 + 5)}V${String(loupe.size)}`}
          />
        </g>
      )}
    </svg>
  );
};
