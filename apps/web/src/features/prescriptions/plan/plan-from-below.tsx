import type { FootPlanView } from "@heelward/contracts";
import type { OutlineShape } from "@heelward/domain/trim";
import { useId } from "react";
import { useTranslation } from "react-i18next";
import { useFormat } from "../../../language/format.ts";
import styles from "./drawing.module.css";

const MARGIN_MM = 12;

/** Toe upwards: forward in the foot is up on the drawing. */
const upright = (points: OutlineShape["points"]) => points.map(({ x, y }) => ({ x: y, y: -x }));

const ring = (points: OutlineShape["points"]): string =>
  `${upright(points)
    .map(({ x, y }, index) => `${index === 0 ? "M" : "L"}${x.toFixed(1)} ${y.toFixed(1)}`)
    .join("")}Z`;

/** The foot from below to scale: what bears, where breakover goes, and the mark the farrier can find. */
export const PlanFromBelow = ({
  shapes,
  plan,
}: {
  readonly shapes: readonly OutlineShape[];
  readonly plan: Pick<FootPlanView, "foot" | "breakoverFromFrogTipMm" | "breakoverFromP3TipMm">;
}) => {
  const { t } = useTranslation(["prescriptions", "common"]);
  const format = useFormat();
  const hatch = useId();
  const all = shapes.flatMap((shape) => upright(shape.points));
  const [left, right] = [Math.min(...all.map((p) => p.x)), Math.max(...all.map((p) => p.x))];
  const [top, bottom] = [Math.min(...all.map((p) => p.y)), Math.max(...all.map((p) => p.y))];
  const frog = shapes.find((shape) => shape.id === "frog");
  const frogTipY =
    frog === undefined ? undefined : Math.min(...upright(frog.points).map((p) => p.y));
  const breakoverY = -plan.breakoverFromP3TipMm;
  const areas = shapes.filter((shape) => shape.kind === "area");
  const lines = shapes.filter((shape) => shape.kind === "line");
  return (
    <svg
      viewBox={`${String(left - MARGIN_MM)} ${String(top - MARGIN_MM)} ${String(right - left + 2 * MARGIN_MM)} ${String(bottom - top + 2 * MARGIN_MM)}`}
      className={`${styles["drawing"] ?? ""} ${styles["below"] ?? ""}`}
      role="img"
      aria-label={t("drawnFromBelow", { foot: t(`common:foot.${plan.foot}`) })}
    >
      <defs>
        <pattern
          id={hatch}
          width="5"
          height="5"
          patternUnits="userSpaceOnUse"
          patternTransform="rotate(45)"
        >
          <line className={styles["hatch"]} x1="0" x2="0" y1="0" y2="5" />
        </pattern>
      </defs>
      {areas.map((shape, index) => (
        <path
          key={`${shape.id}${String(index)}`}
          data-shape={shape.id}
          className={styles["area"]}
          style={shape.id === "bearing" ? { fill: `url(#${hatch})` } : {}}
          d={`${ring(shape.points)}${shape.hole === undefined ? "" : ring(shape.hole)}`}
        />
      ))}
      {lines.map((shape) => (
        <polyline
          key={shape.id}
          data-shape={shape.id}
          className={styles["line"]}
          points={upright(shape.points)
            .map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`)
            .join(" ")}
        />
      ))}
      <circle className={styles["tip"]} cx="0" cy="0" r="2" />
      <text className={styles["text"]} x="4" y="2.5" fontSize="6" strokeWidth="2">
        {t("p3Tip")}
      </text>
      {frogTipY === undefined || plan.breakoverFromFrogTipMm === null ? null : (
        <g>
          <line
            className={styles["line"]}
            data-shape="breakover"
            x1={left * 0.45}
            x2={left * 0.45}
            y1={breakoverY}
            y2={frogTipY}
          />
          <text
            className={styles["text"]}
            x={left * 0.45 - 3}
            y={(breakoverY + frogTipY) / 2 + 3}
            fontSize="9"
            strokeWidth="3"
            textAnchor="end"
          >
            {format.number(plan.breakoverFromFrogTipMm)} mm
          </text>
        </g>
      )}
    </svg>
  );
};
