import { MailCheck } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Outcome } from "./outcome.tsx";
import type { Reminder } from "./queries.ts";
import { RingPractice } from "./ring-practice.tsx";

/** A link that asks nothing any more. The service does not say why: a stranger could try links. */
export const ClosedLink = ({ practice }: { readonly practice: Reminder["practice"] | null }) => {
  const { t } = useTranslation("reminder");
  const canRing = practice !== null && practice.phone !== null;
  return (
    <>
      <Outcome icon={<MailCheck aria-hidden />} title={t("closed")}>
        <p>{t("closedText")}</p>
        {canRing ? null : <p>{t("closedLetter")}</p>}
        {practice === null ? <p className="quiet">{t("closedWhole")}</p> : null}
      </Outcome>
      {canRing ? <RingPractice practice={practice} lead={t("closedRing")} /> : null}
    </>
  );
};
