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
    ...data.byFarrier.map((one) => ({ name: one.farrier.name, figures: one })),
    ...data.byYard.map((one) => ({ name: one.yard.name, figures: one })),
  ];
  return (
    <Card title={t("compliance", { count: data.graceDays })}>
      <div className="columns">
        <div className="stack">
          <div className={styles["share"]}>
            <Share figures={data.practice} />
          </div>
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
            ]}
          />
        )}
      </div>
    </Card>
  );
};
