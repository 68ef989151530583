import type { FirstAidSheet } from "@heelward/contracts";
import { Cross, Plus } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Link } from "../../components/link.tsx";
import { EmptyState } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./case-file.module.css";

export const FirstAidTab = ({
  sheets,
  caseId,
  isClosed,
}: {
  readonly sheets: readonly FirstAidSheet[];
  readonly caseId: string;
  readonly isClosed: boolean;
}) => {
  const { t } = useTranslation(["cases", "firstAid"]);
  const format = useFormat();
  const mayWrite = useIsRole("vet", "manager", "carer");
  return (
    <Card
      title={t("tab.firstAid")}
      isFlush
      actions={
        mayWrite && !isClosed ? (
          <ButtonLink href={`/cases/${caseId}/first-aid`} icon={<Plus aria-hidden />}>
            {t("firstAid:write")}
          </ButtonLink>
        ) : undefined
      }
    >
      {sheets.length === 0 ? (
        <EmptyState icon={<Cross aria-hidden />} title={t("noSheets")} />
      ) : (
        sheets.map((sheet) => (
          <div key={sheet.id} className={styles["block"]}>
            <Link href={`/first-aid-sheets/${sheet.id}`}>
              {t("firstAid:written", {
                when: format.shortDateTime(sheet.writtenAt),
                name: sheet.writtenBy.name,
              })}
            </Link>
            <span className="quiet small">
              {t("firstAid:progress", {
                done: sheet.ticks.length,
                all: sheet.steps.filter((step) => step.checklist).length,
              })}
            </span>
          </div>
        ))
      )}
    </Card>
  );
};
