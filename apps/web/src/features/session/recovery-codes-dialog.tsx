import { Check, Copy, Printer } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import styles from "./factors.module.css";

/** The recovery codes, shown once: to be printed or copied before the dialog is closed. */
export const RecoveryCodesDialog = ({
  codes,
  onKept,
}: {
  readonly codes: readonly string[];
  readonly onKept: () => void;
}) => {
  const { t } = useTranslation("session");
  const [isCopied, setCopied] = useState(false);
  return (
    <Dialog title={t("recoveryTitle")} isOpen onClose={onKept}>
      <div className="stack">
        <p>{t("recoveryWhy")}</p>
        <ul className={styles["codes"]} aria-label={t("recoveryTitle")}>
          {codes.map((code) => (
            <li key={code}>{code}</li>
          ))}
        </ul>
        <div className="row no-print">
          <Button look="primary" icon={<Check aria-hidden />} onClick={onKept}>
            {t("recoveryKept")}
          </Button>
          <Button icon={<Printer aria-hidden />} onClick={() => window.print()}>
            {t("print")}
          </Button>
          <Button
            look="quiet"
            icon={isCopied ? <Check aria-hidden /> : <Copy aria-hidden />}
            onClick={() =>
              void navigator.clipboard.writeText(codes.join("\n")).then(() => setCopied(true))
            }
          >
            {isCopied ? t("copied") : t("copy")}
          </Button>
        </div>
      </div>
    </Dialog>
  );
};
