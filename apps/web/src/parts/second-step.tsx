import { KeyRound } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { Button } from "../components/button.tsx";
import { TextField } from "../components/field.tsx";
import { Form } from "../components/form.tsx";
import { hasPasskeys } from "./passkeys.ts";
import type { useSignIn } from "./use-sign-in.ts";

/** The second step of signing in: a code, a recovery code or a passkey. */
export const SecondStep = ({
  signIn,
  onBack,
}: {
  readonly signIn: ReturnType<typeof useSignIn>;
  readonly onBack: () => void;
}) => {
  const { t } = useTranslation(["session", "common"]);
  const [code, setCode] = useState("");
  const { asked } = signIn;
  if (asked === undefined) return null;
  const offersPasskey = asked.ways.includes("passkey") && hasPasskeys();
  return (
    <div className="stack">
      {offersPasskey ? (
        <Button
          look="primary"
          size="large"
          isWide
          icon={<KeyRound aria-hidden />}
          isBusy={signIn.isBusy}
          onClick={signIn.sendPasskey}
        >
          {t("usePasskey")}
        </Button>
      ) : null}
      <Form
        problem={signIn.problem}
        onSubmit={() => signIn.sendCode(code)}
        footer={
          <>
            <Button look={offersPasskey ? "plain" : "primary"} type="submit" isBusy={signIn.isBusy}>
              {t("sendCode")}
            </Button>
            <Button look="quiet" onClick={onBack}>
              {t("otherAccount")}
            </Button>
          </>
        }
      >
        <TextField
          label={asked.ways.includes("app code") ? t("code") : t("recoveryCode")}
          name="secondFactor/code"
          autoComplete="one-time-code"
          hint={asked.ways.includes("app code") ? t("codeHint") : t("recoveryHint")}
          required
          value={code}
          onChange={setCode}
        />
      </Form>
    </div>
  );
};
