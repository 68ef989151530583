import { CircleStop, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useParam } from "../../app/use-address.ts";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { ErrorState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { PlanResult } from "./plan-result.tsx";
import { PlanStatus } from "./plan-status.tsx";
import { isOpen, type Plan, usePlan } from "./queries.ts";
import { ScoreFigures } from "./score-figures.tsx";
import styles from "./planning.module.css";

const Progress = ({ plan }: { readonly plan: Plan }) => {
  const { t } = useTranslation("planning");
  const cancel = useWrite("cancelPlan");
  const share = Math.round((plan.progress?.share ?? 0) * 100);
  return (
    <Card
      title={t(`status.${plan.status}`)}
      actions={
        <Button
          look="danger"
          icon={<CircleStop aria-hidden />}
          isBusy={cancel.isPending}
          onClick={() => cancel.mutate({ params: { planId: plan.id } })}
        >
          {t("stop")}
        </Button>
      }
    >
      <div className="stack">
        {cancel.error === null ? null : <ErrorState error={cancel.error} />}
        <progress
          className={styles["progress"]}
          aria-label={t(`status.${plan.status}`)}
          max={100}
          value={share}
        />
        {plan.progress === null ? (
          <p className="quiet">{t("waitingText")}</p>
        ) : (
          <>
            <p className="quiet">{t("best")}</p>
            <ScoreFigures score={plan.progress} />
          </>
        )}
      </div>
    </Card>
  );
};

const Shown = ({ plan }: { readonly plan: Plan }) => {
  const { t } = useTranslation("planning");
  const format = useFormat();
  return (
    <>
      <PageHeader
        title={t("span", {
          from: format.shortDate(plan.fromOn),
          to: format.shortDate(plan.toOn),
        })}
        back={{ href: "/planning", label: t("title") }}
        beside={<PlanStatus status={plan.status} />}
        lead={`${t("by", { name: plan.requestedBy.name })}, ${format.relative(plan.requestedAt)}`}
      />
      <div className="stack">
        <p className={styles["caution"]}>
          <TriangleAlert aria-hidden />
          {plan.caution}
        </p>
        {isOpen(plan) ? <Progress plan={plan} /> : null}
        {plan.failure === null ? null : <p role="alert">{plan.failure}</p>}
        {plan.status === "cancelled" && plan.result === null ? <p>{t("stopped")}</p> : null}
        {plan.result === null ? null : (
          <PlanResult key={plan.version} plan={plan} result={plan.result} />
        )}
      </div>
    </>
  );
};

/** One plan: its progress while it is worked out, then each choice, why, and what to book of it. */
export const PlanPage = () => (
  <QueryView query={usePlan(useParam("planId"))} lines={8}>
    {(plan) => <Shown plan={plan} />}
  </QueryView>
);
