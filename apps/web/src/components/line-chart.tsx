import { useLayoutEffect, useRef, useState } from "react";
import { useTranslation } from "react-i18next";
import { useFormat } from "../language/format.ts";
import { linear, roundTicks } from "./chart-scale.ts";
import styles from "./line-chart.module.css";

export interface ChartPoint {
  /** `YYYY-MM-DD`. */
  readonly on: string;
  readonly value: number;
  /** Ends of the reading's 95 % interval. */
  readonly low?: number;
  readonly high?: number;
}

/** The letter by which a mark is named, beside the chart and in it. */
export const markLetter = (index: number): string => String.fromCodePoint(65 + (index % 26));

export interface ChartMark {
  readonly on: string;
  readonly label: string;
}

const WIDEST = 640;
const HEIGHT = 210;
const BOX = { left: 40, right: 14, top: 22, bottom: 26 };
const dayOf = (on: string): number => Date.parse(on) / 86_400_000;

/** The width the chart has on the page, so that it is drawn at that width and letters keep their size. */
const useWidth = () => {
  const element = useRef<HTMLElement>(null);
  const [width, setWidth] = useState(WIDEST);
  useLayoutEffect(() => {
    if (element.current === null) return undefined;
    const observer = new ResizeObserver(([entry]) => {
      if (entry !== undefined) setWidth(Math.max(240, Math.round(entry.contentRect.width)));
    });
    observer.observe(element.current);
    return () => observer.disconnect();
  }, []);
  return [element, width] as const;
};

/**
 * One measure over time with its reading error, the range to aim for, a limit, and what was done
 * when. Every figure is also in a table for those who do not see the drawing.
 */
export const LineChart = ({
  title,
  unit,
  points,
  target,
  limit,
  low,
  high,
  marks = [],
  namesMarks = true,
}: {
  readonly title: string;
  readonly unit: string;
  readonly points: readonly ChartPoint[];
  readonly target?: { readonly low: number; readonly high: number } | undefined;
  readonly limit?: { readonly value: number; readonly label: string } | undefined;
  /** Values the axis must reach, such as the ends of a scale. */
  readonly low?: number;
  readonly high?: number;
  readonly marks?: readonly ChartMark[];
  /** False where the page says once for all its charts what the letters stand for. */
  readonly namesMarks?: boolean;
}) => {
  const [figure, width] = useWidth();
  const { t } = useTranslation();
  const format = useFormat();
  const sorted = points.toSorted((a, b) => dayOf(a.on) - dayOf(b.on));
  const days = [...sorted, ...marks].map((one) => dayOf(one.on));
  const values = [
    ...sorted.flatMap((point) => [
      point.value,
      point.low ?? point.value,
      point.high ?? point.value,
    ]),
    ...(target === undefined ? [] : [target.low, target.high]),
    ...[limit?.value, low, high].filter((value) => value !== undefined),
  ];
  const ticks = roundTicks(Math.min(...values), Math.max(...values), 4);
  const dateCount = width < 420 ? 2 : 3;
  const [firstDay, lastDay] = [Math.min(...days), Math.max(...days)];
  const x = linear(
    firstDay === lastDay ? firstDay - 1 : firstDay,
    lastDay,
    BOX.left,
    width - BOX.right,
  );
  const y = linear(ticks[0] ?? 0, ticks.at(-1) ?? 1, HEIGHT - BOX.bottom, BOX.top);
  const at = (point: ChartPoint, value: number) =>
    `${x(dayOf(point.on)).toFixed(1)},${y(value).toFixed(1)}`;
  const hasBand = sorted.length > 1 && sorted.every((point) => point.low !== undefined);
  const band = [
    ...sorted.map((point) => at(point, point.high ?? point.value)),
    ...sorted.toReversed().map((point) => at(point, point.low ?? point.value)),
  ].join(" ");
  const dateTicks = (
    dateCount === 2 ? [firstDay, lastDay] : [firstDay, (firstDay + lastDay) / 2, lastDay]
  )
    .map((day) => new Date(Math.round(day) * 86_400_000).toISOString().slice(0, 10))
    .filter((on, index, all) => all.indexOf(on) === index);
  return (
    <figure ref={figure} className={styles["figure"]}>
      <figcaption>
        <strong>{title}</strong> <span className="quiet">({unit})</span>
      </figcaption>
      <svg
        viewBox={`0 0 ${String(width)} ${String(HEIGHT)}`}
        className={styles["svg"]}
        aria-hidden="true"
      >
        {target === undefined ? null : (
          <rect
            className={styles["target"]}
            x={BOX.left}
            width={width - BOX.left - BOX.right}
            y={y(target.high)}
            height={Math.max(0, y(target.low) - y(target.high))}
          />
        )}
        {ticks.map((tick) => (
          <g key={tick}>
            <line
              className={styles["grid"]}
              x1={BOX.left}
              x2={width - BOX.right}
              y1={y(tick)}
              y2={y(tick)}
            />
            <text className={styles["axis"]} x={BOX.left - 6} y={y(tick) + 4} textAnchor="end">
              {format.number(tick, 2)}
            </text>
          </g>
        ))}
        {dateTicks.map((on, index) => (
          <text
            key={on}
            className={styles["axis"]}
            x={x(dayOf(on))}
            y={HEIGHT - 6}
            textAnchor={index === 0 ? "start" : index === dateTicks.length - 1 ? "end" : "middle"}
          >
            {format.date(on)}
          </text>
        ))}
        {marks.map((mark, index) => (
          <g key={mark.on + mark.label}>
            <line
              className={styles["mark"]}
              x1={x(dayOf(mark.on))}
              x2={x(dayOf(mark.on))}
              y1={BOX.top - 4}
              y2={HEIGHT - BOX.bottom}
            />
            <circle
              className={styles["letterBack"]}
              cx={x(dayOf(mark.on))}
              cy={BOX.top - 12}
              r="8.5"
            />
            <text className={styles["letter"]} x={x(dayOf(mark.on))} y={BOX.top - 8.5}>
              {markLetter(index)}
            </text>
          </g>
        ))}
        {limit === undefined ? null : (
          <g>
            <line
              className={styles["limit"]}
              x1={BOX.left}
              x2={width - BOX.right}
              y1={y(limit.value)}
              y2={y(limit.value)}
            />
            <text className={styles["limitLabel"]} x={BOX.left + 4} y={y(limit.value) - 5}>
              {limit.label}
            </text>
          </g>
        )}
        {hasBand ? <polygon className={styles["band"]} points={band} /> : null}
        <polyline
          className={styles["line"]}
          points={sorted.map((point) => at(point, point.value)).join(" ")}
        />
        {sorted.map((point) => (
          <circle
            key={point.on + String(point.value)}
            className={styles["point"]}
            cx={x(dayOf(point.on))}
            cy={y(point.value)}
            r="4"
          />
        ))}
      </svg>
      {marks.length === 0 || !namesMarks ? null : (
        <ul className={styles["marks"]}>
          {marks.map((mark, index) => (
            <li key={mark.on + mark.label}>
              <b>{markLetter(index)}</b>
              {mark.label}
            </li>
          ))}
        </ul>
      )}
      <details className={styles["table"]}>
        <summary>{t("dataTable")}</summary>
        <table>
          <thead>
            <tr>
              <th scope="col">{t("date")}</th>
              <th scope="col">
                {title} ({unit})
              </th>
            </tr>
          </thead>
          <tbody>
            {sorted.map((point) => (
              <tr key={point.on + String(point.value)}>
                <td>{format.date(point.on)}</td>
                <td>{format.number(point.value, 2)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </figure>
  );
};
