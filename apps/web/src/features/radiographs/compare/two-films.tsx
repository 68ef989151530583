import type { LandmarkSetView, RadiographView } from "@heelward/contracts";
import type { Film } from "@heelward/radiograph/film";
import { Eye } from "lucide-react";
import { useMemo, useState } from "react";
import { useTranslation } from "react-i18next";
import { useSearchState } from "../../../app/use-address.ts";
import { Button } from "../../../components/button.tsx";
import { ChoiceField } from "../../../components/field.tsx";
import { useFormat } from "../../../language/format.ts";
import { FilmCanvas } from "../display/film-canvas.tsx";
import { shadedBy, type Shading, shadingFor } from "../display/shading.ts";
import { useStage } from "../display/use-stage.ts";
import styles from "./compare.module.css";
import { FilmViewer } from "./film-viewer.tsx";
import { cssMatrix, linkedView, screenMatrix } from "./linked-view.ts";
import { registerOnBone } from "./registration.ts";

export interface Side {
  readonly radiograph: RadiographView;
  readonly film: Film;
  readonly set: LandmarkSetView | undefined;
}

const useShading = (film: Film) => {
  const [shading, setShading] = useState<Shading>(() => ({
    window: shadingFor(film, "file"),
    isInverted: false,
  }));
  const onShade = (by: { readonly x: number; readonly y: number }) =>
    setShading((now) => ({ ...now, window: shadedBy(now.window, by, film.bitsStored) }));
  return [shading, onShade] as const;
};

/** Two films of one foot, side by side with the bone at one size, or laid over each other by the bone. */
export const TwoFilms = ({ before, after }: { readonly before: Side; readonly after: Side }) => {
  const { t } = useTranslation("radiographs");
  const format = useFormat();
  const { get, set } = useSearchState();
  const [share, setShare] = useState(50);
  const [isBlinking, setBlinking] = useState(false);
  const [stageRef, stage] = useStage(after.film);
  const [leftRef, left] = useStage(before.film);
  const [shadingBefore, onShadeBefore] = useShading(before.film);
  const [shadingAfter, onShadeAfter] = useShading(after.film);
  const m = useMemo(
    () => registerOnBone(before.set?.points ?? {}, after.set?.points ?? {}),
    [before.set, after.set],
  );
  const isOver = get("how") === "over" && m !== undefined;
  const film = { width: before.film.widthPx, height: before.film.heightPx };
  const own = m === undefined ? left.view : linkedView(stage.view, m, film, stage.size);
  const matrix = m === undefined ? undefined : screenMatrix(own, m, stage.view);
  const underScene = { view: own, ...shadingBefore };
  const shown = isBlinking ? 0 : share / 100;
  const caption = (one: Side) => format.day(one.radiograph.takenAt);
  return (
    <div className="stack-tight">
      <div className="row">
        <ChoiceField
          label={<span className="only-read">{t("compare")}</span>}
          name="how"
          value={isOver ? "over" : "beside"}
          onChange={(how) => set({ how: how === "over" ? "over" : "" })}
          options={[
            { value: "beside", label: t("sideBySide") },
            { value: "over", label: t("laidOver") },
          ]}
        />
        {isOver ? (
          <>
            <label className={styles["share"]}>
              {t("share")}
              <input
                type="range"
                min={0}
                max={100}
                value={share}
                onChange={(event) => setShare(Number(event.target.value))}
              />
            </label>
            <Button
              icon={<Eye aria-hidden />}
              onPointerDown={() => setBlinking(true)}
              onPointerUp={() => setBlinking(false)}
              onPointerLeave={() => setBlinking(false)}
              onKeyDown={(event) => setBlinking(event.key === " ")}
              onKeyUp={() => setBlinking(false)}
            >
              {t("blink")}
            </Button>
          </>
        ) : null}
      </div>
      {m === undefined ? <p className="quiet small">{t("needMarks")}</p> : null}
      {isOver && matrix !== undefined ? (
        <FilmViewer
          radiograph={after.radiograph}
          film={after.film}
          stageRef={stageRef}
          stage={stage}
          view={stage.view}
          shading={shadingAfter}
          onShade={onShadeAfter}
          caption={`${caption(before)} → ${caption(after)}`}
        >
          <FilmCanvas
            film={before.film}
            scene={underScene}
            size={stage.size}
            className={styles["over"]}
            style={{ transform: cssMatrix(matrix), opacity: 1 - shown }}
          />
        </FilmViewer>
      ) : (
        <div className={styles["two"]}>
          <FilmViewer
            radiograph={before.radiograph}
            film={before.film}
            stageRef={leftRef}
            stage={m === undefined ? left : { size: left.size, pan: stage.pan, zoom: stage.zoom }}
            view={own}
            shading={shadingBefore}
            onShade={onShadeBefore}
            caption={caption(before)}
          />
          <FilmViewer
            radiograph={after.radiograph}
            film={after.film}
            stageRef={stageRef}
            stage={stage}
            view={stage.view}
            shading={shadingAfter}
            onShade={onShadeAfter}
            caption={caption(after)}
          />
        </div>
      )}
    </div>
  );
};
