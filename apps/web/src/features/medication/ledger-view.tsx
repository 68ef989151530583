import type { Horse } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import type { Answer } from "../../api/operations.ts";
import { Card } from "../../components/card.tsx";
import { useFormat } from "../../language/format.ts";
import { useAmount, useRate } from "./plan-view.tsx";
import styles from "./medication.module.css";

/** How much of each active substance in the last 24 and 48 hours, and what comes next. */
export const LedgerView = ({
  ledger,
  horse,
}: {
  readonly ledger: Answer<"readLedger">;
  readonly horse: Horse;
}) => {
  const { t } = useTranslation("medication");
  const format = useFormat(horse.yard.timeZone);
  const amount = useAmount();
  const rate = useRate();
  return (
    <div className="stack">
      <p className="quiet">
        {ledger.weightKg === null
          ? t("ledgerNoWeight")
          : t("ledgerLead", { kg: format.number(ledger.weightKg, 0) })}
      </p>
      {ledger.totals.length === 0 ? <p>{t("nothingCounted")}</p> : null}
      <div className={styles["moieties"]}>
        {ledger.totals.map((total) => (
          <Card key={total.moiety} title={total.name}>
            <div className={styles["figures"]}>
              {(
                [
                  ["last24", total.last24hMg, total.last24hMgPerKg],
                  ["last48", total.last48hMg, total.last48hMgPerKg],
                ] as const
              ).map(([label, mg, mgPerKg]) => (
                <div key={label}>
                  <div className="quiet small">{t(label)}</div>
                  <div className={styles["figure"]}>
                    {mgPerKg === null ? amount(mg) : rate(mgPerKg)}
                  </div>
                  {mgPerKg === null ? null : <div>{amount(mg)}</div>}
                </div>
              ))}
            </div>
          </Card>
        ))}
      </div>
      <Card title={t("next")}>
        {ledger.next.length === 0 ? (
          <p className="quiet">{t("noNext")}</p>
        ) : (
          <ul className={styles["courses"]}>
            {ledger.next.map((dose) => (
              <li key={dose.courseId + dose.scheduledAt}>
                <strong>{format.shortDateTime(dose.scheduledAt)}</strong> · {dose.drugName},{" "}
                {dose.measure} <span className="quiet">({amount(dose.doseMg)})</span>
              </li>
            ))}
          </ul>
        )}
      </Card>
    </div>
  );
};
