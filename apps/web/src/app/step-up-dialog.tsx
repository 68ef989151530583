import { useMutation, useQuery } from "@tanstack/react-query";
import { KeyRound, PenLine } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { call } from "../api/client.ts";
import type { StepUpReason } from "../api/step-up.ts";
import { Button } from "../components/button.tsx";
import { Dialog } from "../components/dialog.tsx";
import { ChoiceField, TextField } from "../components/field.tsx";
import { Form } from "../components/form.tsx";
import { askPasskey, hasPasskeys } from "../parts/passkeys.ts";
import { SecondStep } from "../parts/second-step.tsx";
import { useSignIn } from "../parts/use-sign-in.ts";
import { useCurrent } from "./current-session.tsx";

interface Asking {
  readonly onAnswer: (confirmed: boolean) => void;
}

/** Before something is signed: the password, a code of the app, or a passkey. */
const ConfirmSigning = ({ onAnswer }: Asking) => {
  const { t } = useTranslation(["shell", "common"]);
  const { session } = useCurrent();
  const [typed, setTyped] = useState("");
  const [way, setWay] = useState<"password" | "code">("password");
  const ways = useQuery({
    queryKey: ["startConfirmation", "ways"],
    queryFn: () => call("startConfirmation", {}),
    gcTime: 0,
  });
  const confirm = useMutation({
    mutationFn: () =>
      call("confirmPassword", {
        body: way === "code" ? { code: typed.trim() } : { password: typed },
      }),
    onSuccess: () => onAnswer(true),
  });
  const withPasskey = useMutation({
    mutationFn: async () => {
      // A challenge is good for one try.
      const { passkeyOptions } = await call("startConfirmation", {});
      if (passkeyOptions === null) throw new Error("there is no passkey");
      return call("confirmPassword", { body: { passkey: await askPasskey(passkeyOptions) } });
    },
    onSuccess: () => onAnswer(true),
  });
  const known = ways.data?.ways ?? ["password"];
  return (
    <Form
      problem={withPasskey.error ?? confirm.error}
      onSubmit={() => {
        withPasskey.reset();
        confirm.mutate();
      }}
      footer={
        <>
          <Button
            look="primary"
            type="submit"
            icon={<PenLine aria-hidden />}
            isBusy={confirm.isPending}
          >
            {t("stepUp.confirm")}
          </Button>
          <Button look="quiet" onClick={() => onAnswer(false)}>
            {t("common:cancel")}
          </Button>
        </>
      }
    >
      <p>{t("stepUp.why")}</p>
      {known.includes("passkey") && hasPasskeys() ? (
        <div>
          <Button
            icon={<KeyRound aria-hidden />}
            isBusy={withPasskey.isPending}
            onClick={() => withPasskey.mutate()}
          >
            {t("stepUp.passkey")}
          </Button>
        </div>
      ) : null}
      {known.includes("app code") ? (
        <ChoiceField
          label={t("stepUp.with")}
          value={way}
          onChange={(next) => {
            setWay(next);
            setTyped("");
          }}
          options={[
            { value: "password", label: t("stepUp.password") },
            { value: "code", label: t("stepUp.code") },
          ]}
        />
      ) : null}
      <input type="hidden" autoComplete="username" value={session.person.email} readOnly />
      {way === "password" ? (
        <TextField
          label={t("stepUp.password")}
          name="password"
          type="password"
          autoComplete="current-password"
          required
          value={typed}
          onChange={setTyped}
        />
      ) : (
        <TextField
          label={t("stepUp.codeField")}
          name="code"
          autoComplete="one-time-code"
          required
          value={typed}
          onChange={setTyped}
        />
      )}
    </Form>
  );
};

/** When the session has ended while a page was open: signs in again on the spot. */
const SignInAgain = ({ onAnswer }: Asking) => {
  const { t } = useTranslation(["shell", "common"]);
  const { session } = useCurrent();
  const [password, setPassword] = useState("");
  const signIn = useSignIn({ email: session.person.email, password }, () => onAnswer(true));
  if (signIn.asked !== undefined)
    return <SecondStep signIn={signIn} onBack={() => onAnswer(false)} />;
  return (
    <Form
      problem={signIn.problem}
      onSubmit={signIn.sendPassword}
      footer={
        <>
          <Button
            look="primary"
            type="submit"
            icon={<PenLine aria-hidden />}
            isBusy={signIn.isBusy}
          >
            {t("stepUp.confirm")}
          </Button>
          <Button look="quiet" onClick={() => onAnswer(false)}>
            {t("common:cancel")}
          </Button>
        </>
      }
    >
      <p>{t("stepUp.overWhy")}</p>
      <input type="hidden" autoComplete="username" value={session.person.email} readOnly />
      <TextField
        label={t("stepUp.password")}
        name="password"
        type="password"
        autoComplete="current-password"
        required
        value={password}
        onChange={setPassword}
      />
    </Form>
  );
};

/** Asks who is there once more: before something is signed, or when the session has ended. */
export const StepUpDialog = ({ reason, onAnswer }: Asking & { readonly reason: StepUpReason }) => {
  const { t } = useTranslation("shell");
  return (
    <Dialog
      title={reason === "signing" ? t("stepUp.title") : t("stepUp.overTitle")}
      isOpen
      onClose={() => onAnswer(false)}
    >
      {reason === "signing" ? (
        <ConfirmSigning onAnswer={onAnswer} />
      ) : (
        <SignInAgain onAnswer={onAnswer} />
      )}
    </Dialog>
  );
};
