import type { RouteDay } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { plainMap } from "../../parts/plain-map.ts";
import styles from "./routes.module.css";

const WIDTH = 420;
const HEIGHT = 320;
const EDGE = 46;

/** The stops where they lie, joined in driving order; no roads, no tiles, works without a network. */
export const RouteMap = ({
  stops,
  start,
}: {
  readonly stops: RouteDay["stops"];
  readonly start: RouteDay["start"];
}) => {
  const { t } = useTranslation("routes");
  const map = plainMap([...(start === null ? [] : [start]), ...stops.map((stop) => stop.yard)], {
    width: WIDTH,
    height: HEIGHT,
    edge: EDGE,
  });
  const { places: all, pxPerKm, scaleKm } = map;
  const home = start === null ? undefined : all[0];
  const drawn = start === null ? all : all.slice(1);
  const legs = (home === undefined ? all : [...all, home])
    .slice(1)
    .map((to, index) => ({ from: all[index] ?? to, to }));
  return (
    <svg
      className={styles["map"]}
      viewBox={`0 0 ${String(WIDTH)} ${String(HEIGHT)}`}
      role="img"
      aria-label={t("mapText", {
        stops: stops.map((stop, index) => `${String(index + 1)} ${stop.yard.name}`).join(", "),
      })}
    >
      <defs>
        <marker
          id="route-arrow"
          viewBox="0 0 8 8"
          refX="7"
          refY="4"
          markerWidth="7"
          markerHeight="7"
          orient="auto"
        >
          <path className={styles["arrow"]} d="M0 0l8 4-8 4z" />
        </marker>
      </defs>
      {legs.map(({ from, to }, index) => {
        const length = Math.hypot(to.x - from.x, to.y - from.y) || 1;
        const short = Math.max(0, (length - 18) / length);
        return (
          <line
            key={index}
            className={styles["road"]}
            x1={from.x}
            y1={from.y}
            x2={from.x + (to.x - from.x) * short}
            y2={from.y + (to.y - from.y) * short}
            markerEnd="url(#route-arrow)"
          />
        );
      })}
      {home === undefined ? null : (
        <g>
          <rect
            className={styles["homeMark"]}
            x={home.x - 9}
            y={home.y - 9}
            width="18"
            height="18"
            rx="3"
          />
          <text className={styles["stopName"]} x={home.x + 15} y={home.y + 5}>
            {t("starts")}
          </text>
        </g>
      )}
      {drawn.map((place, index) => {
        const stop = stops[index];
        const isRight = place.x > WIDTH * 0.62;
        return (
          <g key={stop?.yard.id}>
            <circle className={styles["stopMark"]} cx={place.x} cy={place.y} r="14" />
            <text className={styles["stopNumber"]} x={place.x} y={place.y + 5}>
              {index + 1}
            </text>
            <text
              className={styles["stopName"]}
              x={place.x + (isRight ? -19 : 19)}
              y={place.y + 5}
              textAnchor={isRight ? "end" : "start"}
            >
              {stop?.yard.name}
            </text>
          </g>
        );
      })}
      <g className={styles["north"]} transform={`translate(${String(WIDTH - 22)} 16)`}>
        <path d="M0 0l6 16-6-4-6 4z" />
        <text y="30">{t("north")}</text>
      </g>
      <g className={styles["scale"]} transform={`translate(14 ${String(HEIGHT - 12)})`}>
        <path d={`M0 -5V0H${String(scaleKm * pxPerKm)}V-5`} />
        <text x={(scaleKm * pxPerKm) / 2} y="-8">
          {t("scale", { km: scaleKm })}
        </text>
      </g>
    </svg>
  );
};
