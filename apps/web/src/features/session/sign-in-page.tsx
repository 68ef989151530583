import { useQueryClient } from "@tanstack/react-query";
import { useEffect, useState } from "react";
import { useTranslation } from "react-i18next";
import { useGo, useSearchState } from "../../app/use-address.ts";
import { Button } from "../../components/button.tsx";
import { TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { Link } from "../../components/link.tsx";
import { SecondStep } from "../../parts/second-step.tsx";
import { useSharedDevice } from "../../parts/shared-device.ts";
import { useSignIn } from "../../parts/use-sign-in.ts";
import { WhoIsThere } from "../../parts/who-is-there.tsx";
import { WelcomeFrame } from "./welcome-frame.tsx";

/** Only a place within the dashboard, never another site. */
const safeNext = (next: string): string => (/^\/(?![/\\])/.test(next) ? next : "/");

export const SignInPage = () => {
  const { t } = useTranslation(["session", "sharing"]);
  const client = useQueryClient();
  const go = useGo();
  const next = useSearchState().get("next");
  const [email, setEmail] = useState("");
  const [password, setPassword] = useState("");
  useEffect(() => {
    document.title = `${t("signIn")} · Heelward`;
  }, [t]);
  const signIn = useSignIn(
    { email, password },
    ({ accessToken: _a, refreshToken: _r, ...session }) => {
      client.clear();
      client.setQueryData(["readSession", {}], session);
      go(safeNext(next));
    },
  );
  const device = useSharedDevice();
  if (signIn.asked !== undefined)
    return (
      <WelcomeFrame title={t("secondStep")} lead={t("secondStepLead", { email })}>
        <SecondStep signIn={signIn} onBack={signIn.startOver} />
      </WelcomeFrame>
    );
  return (
    <WelcomeFrame title={t("signIn")} lead={next === "" ? t("signInLead") : t("sessionOver")}>
      {device === null ? null : (
        <section className="stack-tight">
          <h2>{t("sharing:whoIsThere")}</h2>
          <WhoIsThere people={device.people} onDone={() => go(safeNext(next))} />
          <p className="quiet small">{t("sharing:byPassword")}</p>
        </section>
      )}
      <Form
        problem={signIn.problem}
        onSubmit={signIn.sendPassword}
        footer={
          <Button look="primary" size="large" isWide type="submit" isBusy={signIn.isBusy}>
            {t("signIn")}
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
        <TextField
          label={t("password")}
          name="password"
          type="password"
          autoComplete="current-password"
          required
          value={password}
          onChange={setPassword}
        />
      </Form>
      <p className="quiet small">
        {t("noAccount")} <Link href="/new-password">{t("forgot")}</Link>
      </p>
    </WelcomeFrame>
  );
};
