import { useTranslation } from "react-i18next";
import { linear, roundTicks } from "../../../components/chart-scale.ts";
import { useFormat } from "../../../language/format.ts";
import styles from "./forecast.module.css";

export interface ForecastPoint {
  readonly day: number;
  readonly mid: number;
  readonly low10: number;
  readonly high90: number;
}

const WIDTH = 560;
const HEIGHT = 230;
const BOX = { left: 42, right: 12, top: 26, bottom: 30 };

/** A figure of the foot day by day after fitting, with its 80 % band, the vet's limit and the day of the reset. */
export const ForecastChart = ({
  title,
  unit,
  points,
  resetDay,
  limit,
  limitDays,
}: {
  readonly title: string;
  readonly unit: string;
  readonly points: readonly ForecastPoint[];
  readonly resetDay: number;
  readonly limit?: number | undefined;
  /** Days on which the limit is met: at the fast edge and in the middle. */
  readonly limitDays: readonly number[];
}) => {
  const { t } = useTranslation("prescriptions");
  const format = useFormat();
  const lastDay = points.at(-1)?.day ?? 0;
  const values = points.flatMap((one) => [one.low10, one.high90]);
  const all = limit === undefined ? values : [...values, limit];
  const ticks = roundTicks(Math.min(...all), Math.max(...all), 4);
  const x = linear(0, lastDay, BOX.left, WIDTH - BOX.right);
  const y = linear(ticks[0] ?? 0, ticks.at(-1) ?? 1, HEIGHT - BOX.bottom, BOX.top);
  const at = (day: number, value: number) => `${x(day).toFixed(1)} ${y(value).toFixed(1)}`;
  const band = [
    ...points.map((one) => at(one.day, one.high90)),
    ...points.toReversed().map((one) => at(one.day, one.low10)),
  ];
  const weeks = Array.from({ length: Math.floor(lastDay / 7) + 1 }, (_, week) => week * 7);
  const onReset = points.find((one) => one.day === resetDay);
  return (
    <svg
      viewBox={`0 0 ${String(WIDTH)} ${String(HEIGHT)}`}
      className={styles["chart"]}
      role="img"
      aria-label={t("forecast.chartLabel", {
        title,
        day: resetDay,
        value: onReset === undefined ? "" : `${format.number(onReset.mid)} ${unit}`,
      })}
    >
      {ticks.map((tick) => (
        <g key={tick}>
          <line
            className={styles["grid"]}
            x1={BOX.left}
            x2={WIDTH - BOX.right}
            y1={y(tick)}
            y2={y(tick)}
          />
          <text className={styles["tick"]} x={BOX.left - 6} y={y(tick) + 4} textAnchor="end">
            {format.number(tick)}
          </text>
        </g>
      ))}
      {weeks.map((day) => (
        <text
          key={day}
          className={styles["tick"]}
          x={x(day)}
          y={HEIGHT - BOX.bottom + 17}
          textAnchor="middle"
        >
          {day}
        </text>
      ))}
      <path className={styles["band"]} d={`M${band.join("L")}Z`} />
      <path
        className={styles["middle"]}
        d={`M${points.map((one) => at(one.day, one.mid)).join("L")}`}
      />
      {limit === undefined ? null : (
        <g>
          <line
            className={styles["limit"]}
            x1={BOX.left}
            x2={WIDTH - BOX.right}
            y1={y(limit)}
            y2={y(limit)}
          />
          <text className={styles["mark"]} x={BOX.left + 6} y={y(limit) - 5}>
            {t("forecast.limitShort", { mm: format.number(limit) })}
          </text>
          {limitDays
            .filter((day) => day <= lastDay)
            .map((day) => (
              <circle key={day} className={styles["met"]} cx={x(day)} cy={y(limit)} r={5} />
            ))}
        </g>
      )}
      <line
        className={styles["reset"]}
        x1={x(resetDay)}
        x2={x(resetDay)}
        y1={BOX.top - 6}
        y2={HEIGHT - BOX.bottom}
      />
      <text
        className={styles["mark"]}
        x={x(resetDay)}
        y={BOX.top - 10}
        textAnchor={resetDay > lastDay * 0.8 ? "end" : "middle"}
      >
        {t("forecast.resetShort", { day: resetDay })}
      </text>
    </svg>
  );
};
