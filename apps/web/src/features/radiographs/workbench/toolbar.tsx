import {
  Contrast,
  Crosshair,
  Maximize,
  Redo2,
  SunMedium,
  Undo2,
  ZoomIn,
  ZoomOut,
} from "lucide-react";
import { memo } from "react";
import { useTranslation } from "react-i18next";
import { Button, IconButton } from "../../../components/button.tsx";
import type { Shading, ShadingChoice } from "../display/shading.ts";
import styles from "./workbench.module.css";

const CHOICES = ["file", "whole", "horn", "bone"] as const satisfies readonly ShadingChoice[];

/** Nearer and further, brightness and contrast; for whoever places marks also undo and edge search. */
export const Toolbar = memo(
  ({
    shading,
    bitsStored,
    onShading,
    onChoice,
    onZoom,
    onFit,
    edit,
  }: {
    readonly shading: Shading;
    readonly bitsStored: number;
    readonly onShading: (shading: Shading) => void;
    readonly onChoice: (choice: ShadingChoice) => void;
    readonly onZoom: (factor: number) => void;
    readonly onFit: () => void;
    readonly edit?:
      | {
          readonly canUndo: boolean;
          readonly canRedo: boolean;
          readonly onUndo: () => void;
          readonly onRedo: () => void;
          readonly onRefine: () => void;
          readonly canRefine: boolean;
        }
      | undefined;
  }) => {
    const { t } = useTranslation("radiographs");
    const range = 2 ** bitsStored;
    const { window } = shading;
    return (
      <div className={styles["toolbar"]} role="toolbar" aria-label={t("tools")}>
        {edit === undefined ? null : (
          <span className={styles["tools"]}>
            <IconButton
              label={t("undo")}
              icon={<Undo2 aria-hidden />}
              disabled={!edit.canUndo}
              onClick={edit.onUndo}
            />
            <IconButton
              label={t("redo")}
              icon={<Redo2 aria-hidden />}
              disabled={!edit.canRedo}
              onClick={edit.onRedo}
            />
            <Button
              look="quiet"
              icon={<Crosshair aria-hidden />}
              disabled={!edit.canRefine}
              onClick={edit.onRefine}
            >
              {t("findEdges")}
            </Button>
          </span>
        )}
        <span className={styles["tools"]}>
          <IconButton
            label={t("nearer")}
            icon={<ZoomIn aria-hidden />}
            onClick={() => onZoom(1.4)}
          />
          <IconButton
            label={t("further")}
            icon={<ZoomOut aria-hidden />}
            onClick={() => onZoom(1 / 1.4)}
          />
          <IconButton label={t("wholeFilm")} icon={<Maximize aria-hidden />} onClick={onFit} />
        </span>
        <details className={styles["shading"]}>
          <summary>
            <SunMedium aria-hidden /> {t("brightness")}
          </summary>
          <div className={styles["shadingBox"]}>
            <label>
              <SunMedium aria-hidden /> {t("brightness")}
              <input
                type="range"
                min={0}
                max={range}
                step={range / 512}
                value={range - window.centre}
                onChange={(event) =>
                  onShading({
                    ...shading,
                    window: { ...window, centre: range - Number(event.target.value) },
                  })
                }
              />
            </label>
            <label>
              <Contrast aria-hidden /> {t("contrast")}
              <input
                type="range"
                min={-9}
                max={0.5}
                step={0.05}
                value={Math.log2(window.width / range)}
                onChange={(event) =>
                  onShading({
                    ...shading,
                    window: { ...window, width: range * 2 ** Number(event.target.value) },
                  })
                }
                style={{ direction: "rtl" }}
              />
            </label>
            <div className="row">
              {CHOICES.map((choice) => (
                <Button key={choice} look="quiet" onClick={() => onChoice(choice)}>
                  {t(`shading.${choice}`)}
                </Button>
              ))}
              <Button
                look="quiet"
                aria-pressed={shading.isInverted}
                onClick={() => onShading({ ...shading, isInverted: !shading.isInverted })}
              >
                {t("invert")}
              </Button>
            </div>
          </div>
        </details>
      </div>
    );
  },
);
