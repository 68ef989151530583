import { useMutation } from "@tanstack/react-query";
import { useEffect, useState } from "react";
import { useTranslation } from "react-i18next";
import { call } from "../../api/client.ts";
import { useParam } from "../../app/use-address.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { WelcomeFrame } from "./welcome-frame.tsx";

const LEAST_LENGTH = 12;

export const AcceptInvitationPage = () => {
  const { t } = useTranslation("session");
  const token = useParam("token");
  const [password, setPassword] = useState("");
  const [again, setAgain] = useState("");
  const [wasSent, setSent] = useState(false);
  useEffect(() => {
    document.title = `${t("acceptTitle")} · Heelward`;
  }, [t]);
  const accept = useMutation({
    mutationFn: () => call("acceptInvitation", { body: { token, password } }),
  });
  const isShort = wasSent && password.length < LEAST_LENGTH;
  const differs = wasSent && password !== again;
  const send = () => {
    setSent(true);
    if (password.length >= LEAST_LENGTH && password === again) accept.mutate();
  };
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
      <Form
        problem={accept.error}
        onSubmit={send}
        footer={
          <Button look="primary" size="large" isWide type="submit" isBusy={accept.isPending}>
            {t("accept")}
          </Button>
        }
      >
        <TextField
          label={t("newPassword")}
          name="password"
          type="password"
          autoComplete="new-password"
          hint={t("passwordHint")}
          error={isShort ? t("tooShort") : undefined}
          value={password}
          onChange={setPassword}
        />
        <TextField
          label={t("repeat")}
          type="password"
          autoComplete="new-password"
          error={differs ? t("mismatch") : undefined}
          value={again}
          onChange={setAgain}
        />
      </Form>
    </WelcomeFrame>
  );
};
