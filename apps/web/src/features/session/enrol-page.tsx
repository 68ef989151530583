import { LogOut } from "lucide-react";
import { useEffect } from "react";
import { useTranslation } from "react-i18next";
import { useSignOut } from "../../app/use-sign-out.ts";
import { Button } from "../../components/button.tsx";
import { FactorsCard } from "./factors-card.tsx";
import { WelcomeFrame } from "./welcome-frame.tsx";

/** All there is for a person whose practice asks for a second factor, until they have one. */
export const EnrolPage = () => {
  const { t } = useTranslation("session");
  const signOut = useSignOut();
  useEffect(() => {
    document.title = `${t("enrolTitle")} · Heelward`;
  }, [t]);
  return (
    <WelcomeFrame title={t("enrolTitle")} lead={t("enrolLead")}>
      <FactorsCard />
      <div>
        <Button look="quiet" icon={<LogOut aria-hidden />} onClick={() => void signOut()}>
          {t("notNow")}
        </Button>
      </div>
    </WelcomeFrame>
  );
};
