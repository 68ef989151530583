import type { RadiographView } from "@heelward/contracts";
import type { Film } from "@heelward/radiograph/film";
import { type ReactNode, useMemo } from "react";
import { FilmCanvas } from "../display/film-canvas.tsx";
import filmStyles from "../display/film.module.css";
import type { Shading } from "../display/shading.ts";
import { useGestures } from "../display/use-gestures.ts";
import type { Stage, StageRef } from "../display/use-stage.ts";
import type { Viewport } from "../workbench/machine/viewport.ts";
import styles from "./compare.module.css";

/** One film to look at: moved by hand, `view` says where it lies. */
export const FilmViewer = ({
  radiograph,
  film,
  stageRef,
  stage,
  view,
  shading,
  onShade,
  caption,
  children,
}: {
  readonly radiograph: RadiographView;
  readonly film: Film;
  /** Whose gestures move it. */
  readonly stage: Pick<Stage, "size" | "pan" | "zoom">;
  readonly stageRef: StageRef;
  readonly view: Viewport;
  readonly shading: Shading;
  readonly onShade: (by: { readonly x: number; readonly y: number }) => void;
  readonly caption: string;
  readonly children?: ReactNode;
}) => {
  const gestures = useGestures(stageRef, { onPan: stage.pan, onZoom: stage.zoom, onShade });
  const scene = useMemo(() => ({ view, ...shading }), [view, shading]);
  return (
    <div
      ref={stageRef}
      className={`${filmStyles["stage"] ?? ""} ${styles["stage"] ?? ""}`}
      {...gestures}
    >
      <FilmCanvas film={film} scene={scene} size={stage.size} />
      {children}
      <span className={filmStyles["side"]}>{radiograph.foot}</span>
      <span className={filmStyles["caption"]}>{caption}</span>
    </div>
  );
};
