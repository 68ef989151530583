import { useMutation } from "@tanstack/react-query";
import { useEffect, useState } from "react";
import { useTranslation } from "react-i18next";
import { call } from "../../api/client.ts";
import { useParam } from "../../app/use-address.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { Link } from "../../components/link.tsx";
import { ChoosePassword } from "./choose-password.tsx";
import { WelcomeFrame } from "./welcome-frame.tsx";

const useTitle = (title: string): void => {
  useEffect(() => {
    document.title = `${title} · Heelward`;
  }, [title]);
};

/** Asks for a link by mail. The answer is the same whether there is such an account. */
export const AskForNewPasswordPage = () => {
  const { t } = useTranslation("session");
  const [email, setEmail] = useState("");
  useTitle(t("forgotTitle"));
  const ask = useMutation({ mutationFn: () => call("askForNewPassword", { body: { email } }) });
  return (
    <WelcomeFrame
      title={t("forgotTitle")}
      lead={ask.isSuccess ? t("forgotSent", { email }) : t("forgotLead")}
    >
      {ask.isSuccess ? null : (
        <Form
          problem={ask.error}
          onSubmit={() => ask.mutate()}
          footer={
            <Button look="primary" size="large" isWide type="submit" isBusy={ask.isPending}>
              {t("forgotSend")}
            </Button>
          }
        >
          <TextField
            label={t("email")}
            name="email"
            type="email"
            autoComplete="username"
            required
            value={email}
            onChange={setEmail}
          />
        </Form>
      )}
      <p className="quiet small">
        <Link href="/sign-in">{t("backToSignIn")}</Link>
      </p>
    </WelcomeFrame>
  );
};

/** Chooses a new password by the link of a letter. */
export const NewPasswordPage = () => {
  const { t } = useTranslation("session");
  const token = useParam("token");
  useTitle(t("newPasswordTitle"));
  const choose = useMutation({
    mutationFn: (password: string) => call("chooseNewPassword", { body: { token, password } }),
  });
  if (choose.isSuccess)
    return (
      <WelcomeFrame title={t("newPasswordTitle")} lead={t("newPasswordDone")}>
        <ButtonLink href="/sign-in" look="primary" size="large" isWide>
          {t("signIn")}
        </ButtonLink>
      </WelcomeFrame>
    );
  return (
    <WelcomeFrame title={t("newPasswordTitle")} lead={t("newPasswordLead")}>
      <ChoosePassword
        problem={choose.error}
        isBusy={choose.isPending}
        send={t("newPasswordSend")}
        onChosen={choose.mutate}
      />
    </WelcomeFrame>
  );
};
