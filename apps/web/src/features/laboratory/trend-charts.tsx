import type { LabResult } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { Card } from "../../components/card.tsx";
import { LineChart } from "../../components/line-chart.tsx";
import { useFormat } from "../../language/format.ts";

interface Series {
  readonly key: string;
  readonly test: string;
  readonly unit: string;
  readonly assay: string | null;
  readonly results: readonly LabResult[];
}

/** Results that may share a line: one test, one unit, one method; only where there are two. */
const seriesOf = (results: readonly LabResult[]): readonly Series[] => {
  const keyOf = (one: LabResult) => [one.test, one.unit, one.assay ?? ""].join("|");
  return [...new Set(results.map(keyOf))]
    .flatMap((key) => {
      const own = results.filter((one) => keyOf(one) === key);
      const [first] = own;
      return first === undefined || own.length < 2
        ? []
        : [{ key, test: first.test, unit: first.unit, assay: first.assay, results: own }];
    })
    .toSorted((a, b) => a.test.localeCompare(b.test));
};

/** Each test over time, against the range of the latest result. */
export const TrendCharts = ({ results }: { readonly results: readonly LabResult[] }) => {
  const { t } = useTranslation("laboratory");
  const format = useFormat();
  const all = seriesOf(results);
  if (all.length === 0) return null;
  return (
    <Card title={t("trends")}>
      <div className="columns">
        {all.map((series) => {
          const [latest] = series.results.toSorted((a, b) => b.takenOn.localeCompare(a.takenOn));
          const { rangeLow = null, rangeHigh = null, cutoff = null } = latest ?? {};
          return (
            <LineChart
              key={series.key}
              title={[
                t(`tests.${series.test as "insulin"}`, { defaultValue: series.test }),
                ...(series.assay === null ? [] : [series.assay]),
              ].join(", ")}
              unit={series.unit}
              points={series.results.map((one) => ({ on: one.takenOn, value: one.value }))}
              target={
                rangeLow === null || rangeHigh === null
                  ? undefined
                  : { low: rangeLow, high: rangeHigh }
              }
              limit={
                cutoff !== null
                  ? {
                      value: cutoff,
                      label: t("cutoffShort", { value: format.number(cutoff, 1) }),
                    }
                  : rangeHigh !== null && rangeLow === null
                    ? {
                        value: rangeHigh,
                        label: t("upTo", { value: format.number(rangeHigh, 1) }),
                      }
                    : undefined
              }
            />
          );
        })}
      </div>
      <p className="quiet small">{t("other")}</p>
    </Card>
  );
};
