import { CloudOff, RotateCw } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Button } from "../../components/button.tsx";
import { Outcome } from "./outcome.tsx";

/** No connection, or the service is down: try again, or ring. */
export const NotOpened = ({ onRetry }: { readonly onRetry: () => void }) => {
  const { t } = useTranslation(["reminder", "common"]);
  return (
    <>
      <Outcome icon={<CloudOff aria-hidden />} title={t("notOpened")}>
        <p>{t("notOpenedText")}</p>
      </Outcome>
      <Button look="primary" size="large" isWide icon={<RotateCw aria-hidden />} onClick={onRetry}>
        {t("common:tryAgain")}
      </Button>
    </>
  );
};
