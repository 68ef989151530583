import type { Horse } from "@heelward/contracts";
import { CircleHelp, Flag, Hourglass, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../components/badges.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { useClearTimes } from "./queries.ts";
import styles from "./medication.module.css";

/** Earliest day a named list would call clear after each medicine, and what that figure is not. */
export const ClearTimes = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation("medication");
  const format = useFormat(horse.yard.timeZone);
  const clear = useClearTimes(horse.id);
  return (
    <QueryView query={clear}>
      {(data) => (
        <div className="stack">
          <p className={styles["caution"]}>
            <TriangleAlert aria-hidden />
            <span>{data.caution}</span>
          </p>
          <Card>
            <p className={styles["sum"]}>
              {data.earliestOn === null
                ? t("clear.noDay")
                : data.items.length === 0
                  ? t("clear.nothing")
                  : t("clear.earliest", { date: format.date(data.earliestOn) })}
            </p>
          </Card>
          {data.items.length === 0 ? null : (
            <Card title={t("clear.each")} isFlush>
              <Rows
                label={t("clear.each")}
                rows={data.items}
                keyOf={(one) => one.drugKey}
                columns={[
                  {
                    key: "drug",
                    label: t("drug"),
                    hideLabelOnPhone: true,
                    cell: (one) => (
                      <>
                        <strong>{one.drugName}</strong>
                        <div className="quiet small">
                          {t("clear.last", { when: format.shortDateTime(one.lastDoseAt) })}
                        </div>
                      </>
                    ),
                  },
                  {
                    key: "clear",
                    label: t("clear.from"),
                    hideLabelOnPhone: true,
                    cell: (one) =>
                      one.stillRunning ? (
                        <Badge tone="today" icon={<Hourglass aria-hidden />}>
                          {t("clear.running")}
                        </Badge>
                      ) : one.clearOn === null ? (
                        <Badge tone="today" icon={<CircleHelp aria-hidden />}>
                          {t("clear.noFigure")}
                        </Badge>
                      ) : (
                        <Badge tone="plain" icon={<Flag aria-hidden />}>
                          {t("clear.on", { date: format.date(one.clearOn) })}
                        </Badge>
                      ),
                  },
                  {
                    key: "list",
                    label: t("clear.list"),
                    cell: (one) =>
                      one.list === null ? (
                        <span className="quiet">{t("clear.enter")}</span>
                      ) : (
                        <>
                          {one.list},{" "}
                          {/^\d{4}-\d{2}-\d{2}$/.test(one.listDate ?? "") && one.listDate !== null
                            ? t("clear.listDate", { date: format.date(one.listDate) })
                            : t("clear.listDated", { date: one.listDate })}
                          {one.verified ? null : (
                            <div>
                              <Badge tone="today" icon={<TriangleAlert aria-hidden />}>
                                {t("clear.unverified")}
                              </Badge>
                            </div>
                          )}
                        </>
                      ),
                  },
                ]}
              />
            </Card>
          )}
        </div>
      )}
    </QueryView>
  );
};
