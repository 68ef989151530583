import type { FilmOutline, RadiographView } from "@heelward/contracts";
import type { Film } from "@heelward/radiograph/film";
import { useMemo, useState } from "react";
import { useTranslation } from "react-i18next";
import { FilmCanvas } from "../display/film-canvas.tsx";
import { LoupeCanvas } from "../display/loupe-canvas.tsx";
import filmStyles from "../display/film.module.css";
import { shadedBy, type Shading } from "../display/shading.ts";
import { useGestures } from "../display/use-gestures.ts";
import type { Stage, StageRef } from "../display/use-stage.ts";
import type { Drawing, DrawingEvent } from "../drawing/drawing.ts";
import { drawingGestures, useDrawingKeys } from "../drawing/drawing-hand.ts";
import { DrawnLayer } from "../drawing/drawn-layer.tsx";
import { loupeOn } from "./loupe.ts";
import type { LandmarkGuide } from "./machine/landmarks.ts";
import { toImage } from "./machine/viewport.ts";
import type { Point, Points, Workbench, WorkbenchEvent } from "./machine/workbench.ts";
import { Overlay } from "./overlay.tsx";
import { useWorkbenchKeys } from "./use-workbench-keys.ts";
import styles from "./workbench.module.css";

const loupeCentre = (
  state: Workbench,
  hover: Point | undefined,
  isByKeys: boolean,
): Point | undefined => {
  if (state.grab !== undefined) return state.points[state.grab.key];
  const placed = state.active === undefined ? undefined : state.points[state.active];
  if (isByKeys) return placed;
  return placed === undefined && state.active !== undefined ? hover : undefined;
};

/** The film with its marks, moved and measured by mouse, finger and keyboard. */
export const FilmStage = ({
  radiograph,
  film,
  guides,
  state,
  onEvent,
  stageRef,
  stage,
  shading,
  onShading,
  canEdit,
  chosenMeasure,
  ghost,
  outlines,
  drawing,
  onDraw,
}: {
  readonly radiograph: RadiographView;
  readonly film: Film;
  readonly guides: readonly LandmarkGuide[];
  readonly state: Workbench;
  readonly onEvent: (event: WorkbenchEvent) => void;
  readonly stageRef: StageRef;
  readonly stage: Stage;
  readonly shading: Shading;
  readonly onShading: (shading: Shading) => void;
  readonly canEdit: boolean;
  readonly chosenMeasure: string | undefined;
  readonly ghost: Points | undefined;
  readonly outlines: readonly FilmOutline[];
  /** The line or outline in hand; while there is one, marks stay where they are. */
  readonly drawing: Drawing | undefined;
  readonly onDraw: (event: DrawingEvent) => void;
}) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const { view, size } = stage;
  const [hover, setHover] = useState<Point>();
  const canMark = canEdit && drawing === undefined;
  const keys = useWorkbenchKeys(state, stage, onEvent, canMark);
  const drawKeys = useDrawingKeys(drawing, stage, onDraw);
  const labels = useMemo(() => new Map(guides.map((one) => [one.key, one.label])), [guides]);
  const isWaiting = state.active !== undefined && state.points[state.active] === undefined;
  const gestures = useGestures(stageRef, {
    ...(drawing === undefined ? {} : drawingGestures(drawing, view, onDraw)),
    ...(canMark
      ? {
          onGrab: (key: string) => onEvent({ type: "grab", key }),
          onDrag: (by: Point) =>
            onEvent({ type: "drag", by: { x: by.x / view.zoom, y: by.y / view.zoom } }),
          onDrop: () => onEvent({ type: "drop" }),
          onTap: (at: Point, key: string | undefined) => {
            if (isWaiting) onEvent({ type: "place", at: toImage(view, at) });
            else if (key !== undefined) onEvent({ type: "choose", key });
          },
          onHover: (at: Point | undefined) => {
            keys.onPointer();
            setHover(at === undefined ? undefined : toImage(view, at));
          },
        }
      : {}),
    onPan: stage.pan,
    onZoom: stage.zoom,
    onShade: (by) =>
      onShading({ ...shading, window: shadedBy(shading.window, by, film.bitsStored) }),
  });
  const corner =
    drawing === undefined ? undefined : drawing.points[drawing.grab?.index ?? Number.NaN];
  const centre = canMark ? loupeCentre(state, hover, keys.isByKeys) : corner;
  const loupe = centre === undefined ? undefined : loupeOn(centre, view, size);
  const scene = useMemo(() => ({ view, ...shading }), [view, shading]);
  return (
    // The stage is a drawing that is worked on by hand and by keys; no element of HTML is that.
    // oxlint-disable-next-line jsx-a11y/no-noninteractive-element-interactions
    <div
      ref={stageRef}
      className={`${filmStyles["stage"] ?? ""} ${styles["stageBox"] ?? ""}`}
      // oxlint-disable-next-line jsx-a11y/no-noninteractive-tabindex
      tabIndex={0}
      role="application"
      aria-label={t("stageLabel", {
        foot: t(`common:foot.${radiograph.foot}`),
        view: t(`view.${radiograph.view}`),
      })}
      onKeyDown={drawing === undefined ? keys.onKeyDown : drawKeys}
      {...gestures}
    >
      <FilmCanvas film={film} scene={scene} size={size} />
      {loupe === undefined ? null : <LoupeCanvas film={film} loupe={loupe} shading={shading} />}
      <Overlay
        filmView={radiograph.view}
        state={state}
        view={view}
        size={size}
        labels={labels}
        chosenMeasure={chosenMeasure}
        ghost={ghost}
        loupe={loupe}
        canEdit={canMark}
        showsCentre={drawing !== undefined || (canMark && keys.isByKeys && isWaiting)}
      />
      {outlines.length === 0 && drawing === undefined ? null : (
        <DrawnLayer outlines={outlines} drawing={drawing} view={view} size={size} />
      )}
      <span className={`${filmStyles["side"] ?? ""} ${styles["side"] ?? ""}`}>
        {radiograph.foot}
      </span>
    </div>
  );
};
