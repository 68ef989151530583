import { useMutation } from "@tanstack/react-query";
import { useEffect } from "react";
import { useTranslation } from "react-i18next";
import { call } from "../../api/client.ts";
import { useParam } from "../../app/use-address.ts";
import { ButtonLink } from "../../components/button.tsx";
import { ChoosePassword } from "./choose-password.tsx";
import { WelcomeFrame } from "./welcome-frame.tsx";

export const AcceptInvitationPage = () => {
  const { t } = useTranslation("session");
  const token = useParam("token");
  useEffect(() => {
    document.title = `${t("acceptTitle")} · Heelward`;
  }, [t]);
  const accept = useMutation({
    mutationFn: (password: string) => call("acceptInvitation", { body: { token, password } }),
  });
  if (accept.data !== undefined)
    return (
      <WelcomeFrame title={t("acceptTitle")} lead={t("accepted", { name: accept.data.name })}>
        <ButtonLink href="/sign-in" look="primary" size="large" isWide>
          {t("signIn")}
        </ButtonLink>
      </WelcomeFrame>
    );
  return (
    <WelcomeFrame title={t("acceptTitle")} lead={t("acceptLead")}>
      <ChoosePassword
        problem={accept.error}
        isBusy={accept.isPending}
        send={t("accept")}
        onChosen={accept.mutate}
      />
    </WelcomeFrame>
  );
};
