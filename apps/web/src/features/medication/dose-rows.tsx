import type { DoseRecord } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { Rows } from "../../components/data-list.tsx";
import { Findings } from "../../components/findings.tsx";
import { useFormat } from "../../language/format.ts";
import { OutcomeBadge } from "./course-badge.tsx";
import { useAmount } from "./plan-view.tsx";

/** A record that reached us this much later was written without signal or after the fact. */
const LATE_MS = 5 * 60_000;

/** What was given, refused or spat out, latest first. */
export const DoseRows = ({
  doses,
  timeZone,
  isOfOneCourse = false,
}: {
  readonly doses: readonly DoseRecord[];
  readonly timeZone: string;
  readonly isOfOneCourse?: boolean;
}) => {
  const { t } = useTranslation("medication");
  const format = useFormat(timeZone);
  const amount = useAmount();
  return (
    <Rows
      label={t("tabs.doses")}
      rows={doses}
      keyOf={(dose) => dose.id}
      columns={[
        {
          key: "when",
          label: t("when"),
          hideLabelOnPhone: true,
          cell: (dose) => (
            <>
              <strong>{format.shortDateTime(dose.givenAt)}</strong>
              <div className="quiet small">
                {dose.scheduledAt === null
                  ? t("outside")
                  : t("planned", { time: format.time(dose.scheduledAt) })}
                {Date.parse(dose.receivedAt) - Date.parse(dose.givenAt) > LATE_MS
                  ? ` · ${t("kept", { when: format.shortDateTime(dose.receivedAt) })}`
                  : null}
              </div>
            </>
          ),
        },
        {
          key: "outcome",
          label: t("outcome"),
          hideLabelOnPhone: true,
          cell: (dose) => (
            <>
              <OutcomeBadge outcome={dose.outcome} />
              {dose.outcome === "spat out" ? (
                <span className="quiet small"> {t("spatNote")}</span>
              ) : null}
            </>
          ),
        },
        {
          key: "dose",
          label: t("dose"),
          cell: (dose) =>
            isOfOneCourse ? (
              amount(dose.doseMg)
            ) : (
              <>
                {dose.drugName}, {amount(dose.doseMg)}
                <span className="quiet small">
                  {" "}
                  {t(`routes.${dose.route as "oral"}`, { defaultValue: dose.route })}
                </span>
              </>
            ),
        },
        { key: "by", label: t("by"), cell: (dose) => dose.givenBy.name },
        {
          key: "why",
          label: t("why"),
          cell: (dose) => (
            <>
              {dose.reason}
              <Findings findings={dose.findings} hidePasses />
            </>
          ),
        },
      ]}
    />
  );
};
