import { useQuery } from "@tanstack/react-query";
import { useTranslation } from "react-i18next";
import type { Answer } from "../../api/operations.ts";
import { read } from "../../api/use-call.ts";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { LineChart } from "../../components/line-chart.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./resets.module.css";

type Compliance = Answer<"readCompliance">;
type Figures = Compliance["practice"];

const Share = ({ figures }: { readonly figures: Figures }) => {
  const { t } = useTranslation("resets");
  const format = useFormat();
  if (figures.share === null) return <span className="quiet">{t("notYetJudged")}</span>;
  return (
    <>
      <strong>{format.number(figures.share * 100, 0)} %</strong>{" "}
      <span className="quiet small">
        {t("shareOf", { onTime: figures.onTime, total: figures.total })}
      </span>
    </>
  );
};

const SPARK = { width: 100, height: 24 };

/** Half a year of horses past their due day, as a small line; the words beside it say the same. */
const Spark = ({ weeks }: { readonly weeks: Compliance["overdue"] }) => {
  const { t } = useTranslation("resets");
  const most = Math.max(1, ...weeks.map((week) => week.horses));
  const points = weeks
    .map(
      (week, index) =>
        `${String((index / Math.max(1, weeks.length - 1)) * SPARK.width)},${String(
          SPARK.height - 2 - (week.horses / most) * (SPARK.height - 4),
        )}`,
    )
    .join(" ");
  return (
    <div>
      <svg
        className={styles["spark"]}
        viewBox={`0 0 ${String(SPARK.width)} ${String(SPARK.height)}`}
        preserveAspectRatio="none"
        aria-hidden="true"
      >
        <polyline points={points} />
      </svg>
      <span className="quiet small">
        {t("overdueText", {
          first: weeks[0]?.horses ?? 0,
          most: Math.max(0, ...weeks.map((week) => week.horses)),
          last: weeks.at(-1)?.horses ?? 0,
        })}
      </span>
    </div>
  );
};

/** How many resets were done in time: the practice, each farrier, each yard, and the trend. */
export const ComplianceCard = () => {
  const { t } = useTranslation("resets");
  const compliance = useQuery(read("readCompliance", {}));
  const { data } = compliance;
  if (data === undefined) return null;
  const trend = data.trend.flatMap((night) =>
    night.share === null ? [] : [{ on: night.on, value: Math.round(night.share * 100) }],
  );
  const rows = [
    ...data.byFarrier.map((one) => ({ name: one.farrier.name, figures: one, weeks: one.overdue })),
    ...data.byYard.map((one) => ({ name: one.yard.name, figures: one, weeks: one.overdue })),
  ];
  return (
    <Card title={t("compliance", { count: data.graceDays })}>
      <div className="columns">
        <div className="stack">
          <div className={styles["share"]}>
            <Share figures={data.practice} />
          </div>
          <LineChart
            title={t("overdueTrend")}
            unit={t("horsesUnit")}
            low={0}
            points={data.overdue.map(({ on, horses }) => ({ on, value: horses }))}
          />
          {trend.length < 2 ? null : (
            <LineChart title={t("trend")} unit="%" points={trend} target={{ low: 0, high: 0 }} />
          )}
        </div>
        {rows.length === 0 ? null : (
          <Rows
            label={t("compliance", { count: data.graceDays })}
            rows={rows}
            keyOf={(row) => row.name}
            columns={[
              {
                key: "name",
                label: t("farrierOrYard"),
                hideLabelOnPhone: true,
                cell: (row) => <strong>{row.name}</strong>,
              },
              { key: "share", label: t("inTime"), cell: (row) => <Share figures={row.figures} /> },
              {
                key: "overdue",
                label: t("overdueBy"),
                cell: (row) => <Spark weeks={row.weeks} />,
              },
            ]}
          />
        )}
      </div>
    </Card>
  );
};
