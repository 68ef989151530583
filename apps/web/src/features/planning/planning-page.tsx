import { CalendarRange, Plus } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { lazyPart } from "../../components/lazy-part.tsx";
import { Link } from "../../components/link.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { DrivesCard } from "./drives-card.tsx";
import { PlanStatus } from "./plan-status.tsx";
import { usePlans } from "./queries.ts";

const NewPlanDialog = lazyPart(() => import("./new-plan-dialog.tsx").then((m) => m.NewPlanDialog));

/** The plans over weeks: ask for one, and find those made so far. */
export const PlanningPage = () => {
  const { t } = useTranslation("planning");
  const format = useFormat();
  const [isStarting, setStarting] = useState(false);
  const plans = usePlans();
  const start = (
    <Button look="primary" icon={<Plus aria-hidden />} onClick={() => setStarting(true)}>
      {t("new")}
    </Button>
  );
  return (
    <>
      <PageHeader title={t("title")} lead={t("lead")} actions={start} />
      {isStarting ? <NewPlanDialog onClose={() => setStarting(false)} /> : null}
      <div className="stack">
        <QueryView query={plans} lines={6}>
          {({ items }) =>
            items.length === 0 ? (
              <EmptyState icon={<CalendarRange aria-hidden />} title={t("none")}>
                {t("noneText")}
              </EmptyState>
            ) : (
              <Card title={t("earlier")} isFlush>
                <Rows
                  label={t("earlier")}
                  rows={items}
                  keyOf={(plan) => plan.id}
                  columns={[
                    {
                      key: "span",
                      label: t("from"),
                      hideLabelOnPhone: true,
                      cell: (plan) => (
                        <Link href={`/planning/${plan.id}`}>
                          <strong>
                            {t("span", {
                              from: format.shortDate(plan.fromOn),
                              to: format.shortDate(plan.toOn),
                            })}
                          </strong>
                        </Link>
                      ),
                    },
                    {
                      key: "status",
                      label: t("standing"),
                      hideLabelOnPhone: true,
                      cell: (plan) => <PlanStatus status={plan.status} />,
                    },
                    {
                      key: "by",
                      label: t("whoAndWhen"),
                      hideLabelOnPhone: true,
                      cell: (plan) => (
                        <span className="quiet">
                          {t("by", { name: plan.requestedBy.name })},{" "}
                          {format.relative(plan.requestedAt)}
                        </span>
                      ),
                    },
                  ]}
                />
              </Card>
            )
          }
        </QueryView>
        <DrivesCard />
      </div>
    </>
  );
};
