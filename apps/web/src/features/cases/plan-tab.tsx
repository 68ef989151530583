import type { CaseFile, ShoeingRecord } from "@heelward/contracts";
import { CircleCheck, Footprints, Plus, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { Badge } from "../../components/badges.tsx";
import { ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./case-file.module.css";
import { PlanSummary } from "./plan-card.tsx";

const RecordBlock = ({ record }: { readonly record: ShoeingRecord }) => {
  const { t } = useTranslation(["cases", "common"]);
  const format = useFormat();
  return (
    <article className={styles["block"]}>
      <div className="row">
        <strong>{format.shortDateTime(record.doneAt)}</strong>
        <Badge
          tone={record.asPlanned ? "fine" : "today"}
          icon={record.asPlanned ? <CircleCheck aria-hidden /> : <TriangleAlert aria-hidden />}
        >
          {record.asPlanned ? t("asPlanned") : t("departed")}
        </Badge>
        <span className="quiet small">{record.farrier.name}</span>
      </div>
      <ul>
        {record.feet.map((foot) => (
          <li key={foot.foot}>
            <strong>{t(`common:foot.${foot.foot}`)}</strong>:{" "}
            {t("recordFoot", {
              after: format.number(foot.breakoverAfterMm),
              heel: format.number(foot.heelRemovedMm),
              shoe: foot.shoe,
            })}
          </li>
        ))}
      </ul>
      {record.departures === null ? null : <p>{record.departures}</p>}
      {record.notes === null ? null : <p className="quiet">{record.notes}</p>}
    </article>
  );
};

/** Every plan of the case and what was done about it. */
export const PlanTab = ({ file }: { readonly file: CaseFile }) => {
  const { t } = useTranslation("cases");
  const isVet = useIsRole("vet");
  const isFarrier = useIsRole("farrier");
  const isClosed = file.case.phase === "closed";
  return (
    <div className={styles["overview"]}>
      <Card
        title={t("tab.plan")}
        isFlush
        actions={
          isVet && !isClosed ? (
            <ButtonLink
              href={`/cases/${file.case.id}/prescriptions/new`}
              look="primary"
              icon={<Plus aria-hidden />}
            >
              {t("newPlan")}
            </ButtonLink>
          ) : undefined
        }
      >
        {file.prescriptions.length === 0 ? (
          <p className={`${styles["block"] ?? ""} quiet`}>{t("noPlan")}</p>
        ) : (
          file.prescriptions.map((plan) => (
            <div key={plan.id} className={styles["block"]}>
              <PlanSummary plan={plan} />
            </div>
          ))
        )}
      </Card>
      <Card
        title={t("records")}
        isFlush
        actions={
          isFarrier && !isClosed ? (
            <ButtonLink
              href={`/shoeing/${file.horse.id}`}
              look="primary"
              icon={<Footprints aria-hidden />}
            >
              {t("recordShoeing")}
            </ButtonLink>
          ) : undefined
        }
      >
        {file.shoeingRecords.length === 0 ? (
          <p className={`${styles["block"] ?? ""} quiet`}>{t("noRecords")}</p>
        ) : (
          file.shoeingRecords.map((record) => <RecordBlock key={record.id} record={record} />)
        )}
      </Card>
    </div>
  );
};
