import type { Horse } from "@heelward/contracts";
import { Scale } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { LineChart } from "../../components/line-chart.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { todayIn, useFormat } from "../../language/format.ts";
import { useWeighings } from "./queries.ts";
import { lazyPart } from "../../components/lazy-part.tsx";

const WeighDialog = lazyPart(() => import("./weigh-dialog.tsx").then((m) => m.WeighDialog));

/** The weight now with its age and range, its curve, and every weighing. */
export const WeightCard = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation("horses");
  const format = useFormat(horse.yard.timeZone);
  const weighings = useWeighings(horse.id);
  const mayWeigh = useIsRole("vet", "manager", "carer");
  const [isOpen, setOpen] = useState(false);
  return (
    <Card
      title={t("weights")}
      actions={
        mayWeigh ? (
          <Button icon={<Scale aria-hidden />} onClick={() => setOpen(true)}>
            {t("weigh")}
          </Button>
        ) : undefined
      }
    >
      {isOpen ? <WeighDialog horse={horse} onClose={() => setOpen(false)} /> : null}
      <QueryView query={weighings}>
        {({ items }) =>
          items.length === 0 ? (
            <EmptyState icon={<Scale aria-hidden />} title={t("noWeight")}>
              {t("noWeightText")}
            </EmptyState>
          ) : (
            <div className="stack">
              {items.length > 1 ? (
                <LineChart
                  title={t("weights")}
                  unit="kg"
                  points={items.map((one) => ({
                    on: todayIn(horse.yard.timeZone, new Date(one.weighedAt)),
                    value: one.weightKg,
                    low: one.lowKg,
                    high: one.highKg,
                  }))}
                />
              ) : null}
              <Rows
                label={t("weights")}
                rows={items}
                keyOf={(one) => one.id}
                columns={[
                  {
                    key: "when",
                    label: t("weighedAt"),
                    hideLabelOnPhone: true,
                    cell: (one) => format.day(one.weighedAt),
                  },
                  {
                    key: "kg",
                    label: t("weight"),
                    hideLabelOnPhone: true,
                    cell: (one) => (
                      <>
                        <strong>{format.number(one.weightKg, 0)} kg</strong>{" "}
                        <span className="quiet small">
                          {t("between", {
                            low: format.number(one.lowKg, 0),
                            high: format.number(one.highKg, 0),
                          })}
                        </span>
                      </>
                    ),
                  },
                  {
                    key: "how",
                    label: t("method"),
                    hideLabelOnPhone: true,
                    cell: (one) =>
                      [t(`methods.${one.method}`), one.weighedBy.name, one.note]
                        .filter(Boolean)
                        .join(" · "),
                  },
                ]}
              />
            </div>
          )
        }
      </QueryView>
    </Card>
  );
};
