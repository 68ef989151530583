import { OctagonX, ShieldCheck } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { Button } from "../../components/button.tsx";
import { classNames } from "../../components/class-names.ts";
import { ErrorState } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { useVerification } from "./queries.ts";
import styles from "./audit.module.css";

/** Checks the chain and every signature, and says in words what came of it. */
export const VerificationCard = () => {
  const { t } = useTranslation("audit");
  const format = useFormat();
  const [isAsked, setAsked] = useState(false);
  const result = useVerification(isAsked);
  const { data } = result;
  return (
    <div className="stack-tight" aria-live="polite">
      <div>
        <Button
          icon={<ShieldCheck aria-hidden />}
          isBusy={result.isFetching}
          onClick={() => (isAsked ? void result.refetch() : setAsked(true))}
        >
          {t(result.isFetching ? "verifying" : "verify")}
        </Button>
      </div>
      {result.error === null ? null : <ErrorState error={result.error} />}
      {data === undefined ? null : (
        <div
          className={classNames(
            styles["result"],
            data.isWhole ? styles["whole"] : styles["broken"],
          )}
        >
          {data.isWhole ? <ShieldCheck aria-hidden /> : <OctagonX aria-hidden />}
          <div className="stack-tight">
            <strong>{t(data.isWhole ? "whole" : "broken")}</strong>
            <p>
              {data.isWhole
                ? t("wholeText", {
                    entries: format.number(data.entries, 0),
                    signatures: format.number(data.signatures, 0),
                  })
                : t("brokenText", {
                    count: data.faults.length,
                    entries: format.number(data.entries, 0),
                  })}
            </p>
            {data.faults.length === 0 ? null : (
              <ul>
                {data.faults.map((fault) => (
                  <li key={`${String(fault.sequence)} ${fault.what}`}>
                    {fault.sequence === null
                      ? t("faultAll", { what: fault.what })
                      : t("fault", { sequence: fault.sequence, what: fault.what })}
                  </li>
                ))}
              </ul>
            )}
          </div>
        </div>
      )}
    </div>
  );
};
