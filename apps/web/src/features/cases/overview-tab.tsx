import type { CaseFile } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Timeline } from "../../components/timeline.tsx";
import styles from "./case-file.module.css";
import { ComfortCard } from "./comfort-card.tsx";
import { MeasuresCard } from "./measures-card.tsx";
import { PlanSummary } from "./plan-card.tsx";
import { timelineItems } from "./timeline-items.tsx";

const LATELY = 4;

/** What one looks at first: the bone, the comfort, the plan, and what happened lately. */
export const OverviewTab = ({
  file,
  onTimeline,
}: {
  readonly file: CaseFile;
  readonly onTimeline: () => void;
}) => {
  const { t } = useTranslation("cases");
  const readsFilms = useIsRole("vet", "farrier", "manager");
  const plan = file.prescriptions.find((one) => one.isCurrent);
  return (
    <div className={styles["overview"]}>
      {readsFilms ? <MeasuresCard films={file.radiographs} /> : null}
      <div className="stack">
        <ComfortCard file={file} />
        {readsFilms ? (
          <Card title={t("plan")}>
            {plan === undefined ? (
              <p className="quiet">{t("noPlan")}</p>
            ) : (
              <PlanSummary plan={plan} />
            )}
          </Card>
        ) : null}
      </div>
      <Card
        title={t("lately")}
        actions={
          <Button look="quiet" onClick={onTimeline}>
            {t("wholeTimeline")}
          </Button>
        }
      >
        {file.timeline.length === 0 ? (
          <p className="quiet">{t("noEvents")}</p>
        ) : (
          <Timeline items={timelineItems(file.timeline.slice(0, LATELY))} />
        )}
      </Card>
    </div>
  );
};
