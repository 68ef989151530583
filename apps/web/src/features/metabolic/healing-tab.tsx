import { Activity, Lightbulb } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Card } from "../../components/card.tsx";
import { Facts } from "../../components/data-list.tsx";
import { SourceNote } from "../../components/findings.tsx";
import { LineChart } from "../../components/line-chart.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { useHealing } from "./queries.ts";
import styles from "./metabolic.module.css";

/** The five-sign scores of a case against the typical course, and the prompt to think again. */
export const HealingTab = ({ caseId }: { readonly caseId: string }) => {
  const { t } = useTranslation("recovery");
  const format = useFormat();
  const healing = useHealing(caseId);
  return (
    <QueryView query={healing} lines={6}>
      {(data) =>
        data.points.length === 0 || data.day === null ? (
          <EmptyState icon={<Activity aria-hidden />} title={t("healing.none")}>
            {t("healing.noneText")}
          </EmptyState>
        ) : (
          <div className="stack">
            {data.prompt === null ? null : (
              <p className={styles["prompt"]}>
                <Lightbulb aria-hidden />
                <span>{data.prompt}</span>
              </p>
            )}
            <Card title={t("healing.title")}>
              <div className="stack">
                <LineChart
                  title={t("healing.score")}
                  unit={t("healing.unit")}
                  low={0}
                  high={12}
                  points={data.points.map((point) => ({
                    on: point.on,
                    value: point.score,
                    low: point.expectedLow,
                    high: point.expectedHigh,
                  }))}
                />
                <p className="quiet small">{t("healing.band")}</p>
                <Facts
                  items={[
                    [t("healing.day"), String(data.day)],
                    ...(data.expected === null
                      ? []
                      : [
                          [
                            t("healing.expected"),
                            t("healing.expectedText", {
                              low: format.number(data.expected.low, 1),
                              high: format.number(data.expected.high, 1),
                            }),
                          ] as const,
                        ]),
                    [
                      t("healing.halfLife"),
                      data.halfLifeDays === null
                        ? t("healing.notFalling")
                        : t("healing.halfLifeText", { days: format.number(data.halfLifeDays, 0) }),
                    ],
                  ]}
                />
                {data.source === null ? null : <SourceNote source={data.source} />}
              </div>
            </Card>
          </div>
        )
      }
    </QueryView>
  );
};
