import { useState } from "react";
import { useTranslation } from "react-i18next";
import { Button } from "../../components/button.tsx";
import { TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";

const LEAST_LENGTH = 12;

/** A new password, typed twice. */
export const ChoosePassword = ({
  problem,
  isBusy,
  send,
  onChosen,
}: {
  readonly problem: Error | null;
  readonly isBusy: boolean;
  /** Words on the button. */
  readonly send: string;
  readonly onChosen: (password: string) => void;
}) => {
  const { t } = useTranslation("session");
  const [password, setPassword] = useState("");
  const [again, setAgain] = useState("");
  const [wasSent, setSent] = useState(false);
  const isShort = wasSent && password.length < LEAST_LENGTH;
  const differs = wasSent && password !== again;
  return (
    <Form
      problem={problem}
      onSubmit={() => {
        setSent(true);
        if (password.length >= LEAST_LENGTH && password === again) onChosen(password);
      }}
      footer={
        <Button look="primary" size="large" isWide type="submit" isBusy={isBusy}>
          {send}
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
  );
};
