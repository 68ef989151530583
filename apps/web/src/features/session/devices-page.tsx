import { useTranslation } from "react-i18next";
import { PageHeader } from "../../components/page-header.tsx";
import { FactorsCard } from "./factors-card.tsx";
import { PasswordCard } from "./password-card.tsx";
import { SharingCard } from "./sharing-card.tsx";
import { SessionsCard } from "./sessions-card.tsx";

/** How a person signs in, and where they are signed in now. */
export const DevicesPage = () => {
  const { t } = useTranslation("session");
  return (
    <>
      <PageHeader title={t("signingIn")} lead={t("devicesLead")} />
      <div className="stack">
        <SessionsCard />
        <SharingCard />
        <FactorsCard />
        <PasswordCard />
      </div>
    </>
  );
};
