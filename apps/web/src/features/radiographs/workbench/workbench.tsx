import type {
  FilmFigures,
  FilmOutline,
  LandmarkSetView,
  RadiographView,
} from "@heelward/contracts";
import type { AnimalKind } from "@heelward/domain/geometry";
import type { Film } from "@heelward/radiograph/film";
import {
  type ReactNode,
  useCallback,
  useDeferredValue,
  useEffect,
  useMemo,
  useReducer,
  useRef,
  useState,
} from "react";
import { useTranslation } from "react-i18next";
import { Card } from "../../../components/card.tsx";
import { LeaveGuard } from "../../../parts/leave-guard.tsx";
import { type Shading, type ShadingChoice, shadingFor } from "../display/shading.ts";
import { useStage } from "../display/use-stage.ts";
import { draw } from "../drawing/drawing.ts";
import { DrawingsCard } from "../drawing/drawings-card.tsx";
import { OpeningsCard } from "../opening/openings-card.tsx";
import { ReadingBar } from "../study/reading-bar.tsx";
import { FilmStage } from "./film-stage.tsx";
import { LandmarkPanel } from "./landmark-panel.tsx";
import { landmarksOf } from "./machine/landmarks.ts";
import { edgeReachPx, refineMarks } from "./machine/refine.ts";
import {
  hasUnsaved,
  type Points,
  startWorkbench,
  work,
  type WorkbenchEvent,
} from "./machine/workbench.ts";
import { measureFilm } from "./measure-film.ts";
import { MeasuresPanel } from "./measures-panel.tsx";
import { RefinementNote } from "./refinement-note.tsx";
import { SaveBar } from "./save-bar.tsx";
import { Toolbar } from "./toolbar.tsx";
import styles from "./workbench.module.css";

const NO_DRAWINGS: readonly FilmOutline[] = [];

/** The film, its marks and what is measured from them while they move. */
export const FilmWorkbench = ({
  radiograph,
  film,
  kind,
  figures,
  set,
  canEdit,
  isBlind = false,
  outlines = NO_DRAWINGS,
  ghost,
  start,
  children,
}: {
  readonly radiograph: RadiographView;
  readonly film: Film;
  readonly kind: AnimalKind;
  readonly figures: FilmFigures;
  /** The newest set on record. */
  readonly set: LandmarkSetView | undefined;
  readonly canEdit: boolean;
  /** A reading for the repeat-reading study: begun from nothing, and nothing measured is shown. */
  readonly isBlind?: boolean;
  /** What is drawn on the film. */
  readonly outlines?: readonly FilmOutline[] | undefined;
  /** Marks of another set to be shown faintly. */
  readonly ghost: Points | undefined;
  /** Marks to be put in place of those at hand; a new object asks again. */
  readonly start: { readonly points: Points } | undefined;
  /** Cards below the measures. */
  readonly children?: ReactNode;
}) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const guides = useMemo(
    () => landmarksOf(radiograph.view, radiograph.scale.kind === "marker"),
    [radiograph.view, radiograph.scale.kind],
  );
  const [state, onEvent] = useReducer(work, undefined, () =>
    startWorkbench(
      guides.map((guide) => guide.key),
      radiograph,
      isBlind ? {} : (set?.points ?? {}),
    ),
  );
  const [drawing, onDraw] = useReducer(draw, undefined);
  const [stageRef, stage] = useStage(film);
  const [shading, setShading] = useState<Shading>(() => ({
    window: shadingFor(film, "file"),
    isInverted: false,
  }));
  const [chosen, setChosen] = useState<string>();
  useEffect(() => {
    if (start !== undefined) onEvent({ type: "load", points: start.points });
  }, [start]);
  useEffect(() => {
    onEvent({ type: "order", order: guides.map((guide) => guide.key) });
  }, [guides]);
  const isUnsaved = (canEdit && hasUnsaved(state)) || (drawing?.points.length ?? 0) > 0;
  const points = useDeferredValue(state.points);
  const measures = useMemo(
    () => measureFilm(radiograph, kind, points, figures),
    [radiograph, kind, points, figures],
  );
  const labels = useMemo(() => new Map(guides.map((one) => [one.key, one.label])), [guides]);
  const { bring } = stage;
  const held = useRef(state.points);
  useEffect(() => {
    held.current = state.points;
  }, [state.points]);
  const handle = useCallback(
    (event: WorkbenchEvent) => {
      onEvent(event);
      if (event.type !== "choose" || event.key === undefined) return;
      const at = held.current[event.key];
      if (at !== undefined) bring(at);
    },
    [bring],
  );
  const { zoom, size } = stage;
  const onZoom = useCallback(
    (factor: number) => zoom({ x: size.width / 2, y: size.height / 2 }, factor),
    [zoom, size],
  );
  const onChoice = useCallback(
    (choice: ShadingChoice) => setShading((now) => ({ ...now, window: shadingFor(film, choice) })),
    [film],
  );
  // Which are placed does not change while one is dragged; the rest of the page then stays still.
  const settled = state.grab?.before ?? state.points;
  const [canUndo, canRedo] = [state.past.length > 0, state.future.length > 0];
  // The bar of tools and the panels are drawn again when what they show changes, not as the film moves.
  const edit = useMemo(
    () =>
      canEdit && drawing === undefined
        ? {
            canUndo,
            canRedo,
            onUndo: () => onEvent({ type: "undo" }),
            onRedo: () => onEvent({ type: "redo" }),
            canRefine: Object.keys(settled).length > 1,
            onRefine: () =>
              onEvent({
                type: "refine",
                refinement: refineMarks(
                  film,
                  radiograph.view,
                  settled,
                  edgeReachPx(radiograph, settled, figures),
                ),
              }),
          }
        : undefined,
    [canEdit, drawing, canUndo, canRedo, settled, film, radiograph, figures],
  );
  return (
    <div className={styles["bench"]}>
      <div className={styles["left"]}>
        <Toolbar
          shading={shading}
          bitsStored={film.bitsStored}
          onShading={setShading}
          onChoice={onChoice}
          onZoom={onZoom}
          onFit={stage.fit}
          edit={edit}
        />
        <FilmStage
          radiograph={radiograph}
          film={film}
          guides={guides}
          state={state}
          onEvent={onEvent}
          stageRef={stageRef}
          stage={stage}
          shading={shading}
          onShading={setShading}
          canEdit={canEdit}
          chosenMeasure={chosen}
          ghost={ghost}
          outlines={outlines}
          drawing={drawing}
          onDraw={onDraw}
        />
        <p className={styles["keys"]}>
          {drawing === undefined ? (canEdit ? t("keysEdit") : t("keysRead")) : t("keysDraw")}
        </p>
      </div>
      <div className={styles["right"]}>
        <LeaveGuard isUnsaved={isUnsaved} what={t("leaveMarks")} />
        {canEdit && drawing === undefined ? (
          <Card title={t("points")}>
            <div className="stack">
              <LandmarkPanel
                view={radiograph.view}
                guides={guides}
                points={settled}
                active={state.active}
                onEvent={handle}
              />
              {state.refinement === undefined ? null : (
                <RefinementNote
                  refinement={state.refinement}
                  labels={labels}
                  onUndo={() => onEvent({ type: "undo" })}
                />
              )}
            </div>
          </Card>
        ) : null}
        {isBlind ? (
          <ReadingBar
            radiograph={radiograph}
            points={state.points}
            onSaved={(saved) => onEvent({ type: "saved", points: saved })}
          />
        ) : (
          <>
            {drawing === undefined ? (
              <Card title={t("measures")}>
                <MeasuresPanel measures={measures} chosen={chosen} onChoose={setChosen} />
              </Card>
            ) : null}
            {canEdit && drawing === undefined ? (
              <SaveBar
                radiograph={radiograph}
                state={state}
                onSaved={(saved) => onEvent({ type: "saved", points: saved })}
              />
            ) : null}
            <DrawingsCard
              radiograph={radiograph}
              set={set}
              outlines={outlines}
              drawing={drawing}
              onEvent={onDraw}
              figures={figures}
            />
            <OpeningsCard radiograph={radiograph} />
          </>
        )}
        {children}
      </div>
    </div>
  );
};
