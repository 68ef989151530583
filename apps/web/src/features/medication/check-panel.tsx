import { CircleCheck, OctagonX, TriangleAlert } from "lucide-react";
import type { FindingView } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import type { Answer } from "../../api/operations.ts";
import { Card } from "../../components/card.tsx";
import { classNames } from "../../components/class-names.ts";
import { Findings } from "../../components/findings.tsx";
import { ErrorState } from "../../components/states.tsx";
import { warningsOf } from "./overrides.tsx";
import { PlanTotals, RateTable } from "./plan-view.tsx";
import { planOf } from "./queries.ts";
import styles from "./medication.module.css";

/** In one line whether a course may be signed. */
export const Verdict = ({ findings }: { readonly findings: readonly FindingView[] }) => {
  const { t } = useTranslation("medication");
  const warnings = warningsOf(findings).length;
  const [look, Icon, words] = findings.some((one) => one.outcome === "block")
    ? (["block", OctagonX, t("verdicts.block")] as const)
    : warnings > 0
      ? (["warn", TriangleAlert, t("verdicts.warn", { count: warnings })] as const)
      : (["fine", CircleCheck, t("verdicts.fine")] as const);
  return (
    <p className={classNames(styles["verdict"], styles[look])}>
      <Icon aria-hidden />
      {words}
    </p>
  );
};

/** What the rules say while the course is typed, with the true rates and what is dispensed. */
export const CheckPanel = ({
  check,
  error,
  isBusy,
}: {
  readonly check: Answer<"judgeCourseDraft"> | undefined;
  readonly error: Error | null;
  readonly isBusy: boolean;
}) => {
  const { t } = useTranslation("medication");
  const plan = planOf(check?.plan);
  return (
    <Card title={t("checks")}>
      <div className="stack" aria-live="polite" aria-busy={isBusy}>
        {error === null ? null : <ErrorState error={error} />}
        {check === undefined ? (
          error === null ? (
            <p className="quiet">{isBusy ? t("checking") : t("checkFirst")}</p>
          ) : null
        ) : (
          <div className={classNames("stack", isBusy && styles["busy"])}>
            <Verdict findings={check.findings} />
            {plan === undefined ? null : <RateTable plan={plan} />}
            <Findings findings={check.findings} />
            {plan === undefined ? null : <PlanTotals plan={plan} />}
          </div>
        )}
      </div>
    </Card>
  );
};
