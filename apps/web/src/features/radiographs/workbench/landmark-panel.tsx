import { memo } from "react";
import type { FilmView } from "@heelward/domain/geometry";
import { ChevronLeft, ChevronRight, CircleCheck, CircleDashed, Trash2 } from "lucide-react";
import { useTranslation } from "react-i18next";
import { IconButton } from "../../../components/button.tsx";
import { GuideDrawing } from "./guide-drawing.tsx";
import styles from "./guide.module.css";
import type { LandmarkGuide } from "./machine/landmarks.ts";
import type { Points, WorkbenchEvent } from "./machine/workbench.ts";

/** The point in hand: what it is, with a drawing; and all points with what is placed. */
export const LandmarkPanel = memo(
  ({
    view,
    guides,
    points,
    active,
    onEvent,
  }: {
    readonly view: FilmView;
    readonly guides: readonly LandmarkGuide[];
    readonly points: Points;
    readonly active: string | undefined;
    readonly onEvent: (event: WorkbenchEvent) => void;
  }) => {
    const { t } = useTranslation("radiographs");
    const now = guides.find((guide) => guide.key === active);
    const placed = guides.filter((guide) => points[guide.key] !== undefined).length;
    return (
      <div className="stack-tight">
        <div className="spread">
          <span className={styles["now"]}>{t("placedOf", { placed, count: guides.length })}</span>
          <span className={styles["steps"]}>
            <IconButton
              label={t("previousPoint")}
              icon={<ChevronLeft aria-hidden />}
              onClick={() => onEvent({ type: "step", by: -1 })}
            />
            <IconButton
              label={t("nextPoint")}
              icon={<ChevronRight aria-hidden />}
              onClick={() => onEvent({ type: "step", by: 1 })}
            />
          </span>
        </div>
        {now === undefined ? null : (
          <div className={styles["guide"]}>
            <div aria-live="polite" data-asked={now.key}>
              <h3>{now.label}</h3>
              <p className="small">{now.definition}</p>
              <p className="quiet small">
                {points[now.key] === undefined ? t("tapToPlace") : t("dragToMove")}
              </p>
            </div>
            <GuideDrawing view={view} landmark={now.key} />
          </div>
        )}
        <details>
          <summary className="small">{t("allPoints")}</summary>
          <ul className={styles["list"]}>
            {guides.map((guide) => {
              const isPlaced = points[guide.key] !== undefined;
              return (
                <li key={guide.key} className="row" style={{ flexWrap: "nowrap" }}>
                  <button
                    type="button"
                    className={styles["item"]}
                    aria-current={guide.key === active ? "true" : undefined}
                    onClick={() => onEvent({ type: "choose", key: guide.key })}
                  >
                    {isPlaced ? (
                      <CircleCheck className={styles["placed"]} aria-label={t("placed")} />
                    ) : (
                      <CircleDashed className={styles["open"]} aria-label={t("notPlaced")} />
                    )}
                    {guide.label}
                  </button>
                  {isPlaced ? (
                    <IconButton
                      label={t("removePoint", { name: guide.label })}
                      icon={<Trash2 aria-hidden />}
                      onClick={() => onEvent({ type: "remove", key: guide.key })}
                    />
                  ) : null}
                </li>
              );
            })}
          </ul>
        </details>
      </div>
    );
  },
);
