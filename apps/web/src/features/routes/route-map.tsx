import type { RouteDay } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { linear } from "../../components/chart-scale.ts";
import styles from "./routes.module.css";

const WIDTH = 420;
const HEIGHT = 320;
const EDGE = 46;
const KM_PER_DEGREE = 111.2;
/** A map never shows less ground than this, so that one stop does not fill it. */
const LEAST_SPAN_KM = 4;
const SCALE_STEPS = [1, 2, 5, 10, 20, 50, 100];
const SCALE_SHARE = 0.3;

interface Place {
  readonly x: number;
  readonly y: number;
}

interface Point {
  readonly lat: number;
  readonly lon: number;
}

/** East and north in km of the middle of the points; flat enough for a day's drive. */
const flatten = (points: readonly Point[]): readonly Place[] => {
  const lat = points.map((point) => point.lat);
  const lon = points.map((point) => point.lon);
  const middle = [
    (Math.min(...lat) + Math.max(...lat)) / 2,
    (Math.min(...lon) + Math.max(...lon)) / 2,
  ] as const;
  const shrink = Math.cos((middle[0] * Math.PI) / 180);
  return points.map((point) => ({
    x: (point.lon - middle[1]) * KM_PER_DEGREE * shrink,
    y: (point.lat - middle[0]) * KM_PER_DEGREE,
  }));
};

/** Half of the ground shown, km, so that both directions keep one scale. */
const halfSpan = (places: readonly Place[]): number =>
  Math.max(
    LEAST_SPAN_KM / 2,
    ...places.map((place) =>
      Math.max(Math.abs(place.x) * ((HEIGHT - 2 * EDGE) / (WIDTH - 2 * EDGE)), Math.abs(place.y)),
    ),
  );

/** The stops where they lie, joined in driving order; no roads, no tiles, works without a network. */
export const RouteMap = ({
  stops,
  start,
}: {
  readonly stops: RouteDay["stops"];
  readonly start: RouteDay["start"];
}) => {
  const { t } = useTranslation("routes");
  const places = flatten([...(start === null ? [] : [start]), ...stops.map((stop) => stop.yard)]);
  const half = halfSpan(places);
  const pxPerKm = (HEIGHT - 2 * EDGE) / 2 / half;
  const y = linear(-half, half, HEIGHT - EDGE, EDGE);
  const at = (place: Place): Place => ({ x: WIDTH / 2 + place.x * pxPerKm, y: y(place.y) });
  const all = places.map(at);
  const home = start === null ? undefined : all[0];
  const drawn = start === null ? all : all.slice(1);
  const legs = (home === undefined ? all : [...all, home])
    .slice(1)
    .map((to, index) => ({ from: all[index] ?? to, to }));
  const scaleKm =
    SCALE_STEPS.findLast((km) => km * pxPerKm <= WIDTH * SCALE_SHARE) ?? SCALE_STEPS[0] ?? 1;
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
