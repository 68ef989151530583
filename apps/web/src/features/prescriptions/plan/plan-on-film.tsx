import { ontoFilm, type OutlineShape, type PlanePoint } from "@heelward/domain/trim";
import { useTranslation } from "react-i18next";
import { addressOf } from "../../../api/client.ts";
import styles from "./drawing.module.css";
import type { PlanFilm } from "./plan-inputs.ts";

const MARGIN_PX = 50;
/** Marks that show the whole foot, beside what is drawn. */
const WHOLE_FOOT = ["coronaryBand", "coronaryBandHeel", "extensorProcess", "groundToe", "heel"];

const pathOf = (points: readonly PlanePoint[], isClosed: boolean): string =>
  `${points.map(({ x, y }, index) => `${index === 0 ? "M" : "L"}${x.toFixed(1)} ${y.toFixed(1)}`).join("")}${isClosed ? "Z" : ""}`;

const frameAround = (points: readonly PlanePoint[], width: number, height: number) => {
  const xs = points.map((point) => point.x);
  const ys = points.map((point) => point.y);
  const left = Math.max(0, Math.min(...xs) - MARGIN_PX);
  const top = Math.max(0, Math.min(...ys) - MARGIN_PX);
  const right = Math.min(width, Math.max(...xs) + MARGIN_PX);
  const bottom = Math.min(height, Math.max(...ys) + MARGIN_PX);
  return { left, top, width: right - left, height: bottom - top };
};

/** The plan drawn over the film it was measured on: what comes off, where breakover goes, what is put on. */
export const PlanOnFilm = ({
  film,
  shapes,
}: {
  readonly film: PlanFilm;
  readonly shapes: readonly OutlineShape[];
}) => {
  const { t } = useTranslation(["prescriptions", "common"]);
  const { radiograph, set } = film;
  const place = ontoFilm(set.points, radiograph.scale);
  if (place === undefined) return <p className="quiet small">{t("cannotDraw")}</p>;
  const drawn = shapes.map((shape) => ({ ...shape, at: shape.points.map(place) }));
  const box = frameAround(
    [...drawn.flatMap((shape) => shape.at), ...WHOLE_FOOT.flatMap((key) => set.points[key] ?? [])],
    radiograph.widthPx,
    radiograph.heightPx,
  );
  return (
    <figure>
      <svg
        viewBox={`${box.left.toFixed(0)} ${box.top.toFixed(0)} ${box.width.toFixed(0)} ${box.height.toFixed(0)}`}
        className={`${styles["drawing"] ?? ""} ${styles["onFilm"] ?? ""}`}
        role="img"
        aria-label={t("drawnOnFilm", { foot: t(`common:foot.${radiograph.foot}`) })}
      >
        <image
          href={addressOf("readFilmPreview", { params: { radiographId: radiograph.id } })}
          x="-0.5"
          y="-0.5"
          width={radiograph.widthPx}
          height={radiograph.heightPx}
        />
        {drawn.map((shape) =>
          shape.kind === "area" ? (
            <path
              key={shape.id}
              data-shape={shape.id}
              className={styles["area"]}
              d={pathOf(shape.at, true)}
            />
          ) : (
            <g key={shape.id}>
              <path className={styles["under"]} d={pathOf(shape.at, false)} />
              <path data-shape={shape.id} className={styles["line"]} d={pathOf(shape.at, false)} />
            </g>
          ),
        )}
      </svg>
      <figcaption>
        <ul className={styles["legend"]}>
          {drawn.map((shape) => (
            <li key={shape.id}>
              <svg viewBox="0 0 30 12" className={styles["onFilm"]} aria-hidden>
                <path data-shape={shape.id} className={styles["line"]} d="M2 6H28" />
              </svg>
              {shape.label}
            </li>
          ))}
        </ul>
      </figcaption>
    </figure>
  );
};
