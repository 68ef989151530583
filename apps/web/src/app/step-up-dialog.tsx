import { PenLine } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useMutation } from "@tanstack/react-query";
import { call } from "../api/client.ts";
import type { StepUpReason } from "../api/step-up.ts";
import { Button } from "../components/button.tsx";
import { Dialog } from "../components/dialog.tsx";
import { TextField } from "../components/field.tsx";
import { Form } from "../components/form.tsx";
import { useCurrent } from "./current-session.tsx";

/** Asks for the password once more: before something is signed, or when the session has ended. */
export const StepUpDialog = ({
  reason,
  onAnswer,
}: {
  readonly reason: StepUpReason;
  readonly onAnswer: (confirmed: boolean) => void;
}) => {
  const { t } = useTranslation(["shell", "common"]);
  const { session } = useCurrent();
  const [password, setPassword] = useState("");
  const confirm = useMutation({
    mutationFn: () =>
      reason === "signing"
        ? call("confirmPassword", { body: { password } })
        : call("signIn", { body: { email: session.person.email, password } }),
    onSuccess: () => onAnswer(true),
  });
  return (
    <Dialog
      title={reason === "signing" ? t("stepUp.title") : t("stepUp.overTitle")}
      isOpen
      onClose={() => onAnswer(false)}
    >
      <Form
        problem={confirm.error}
        onSubmit={() => confirm.mutate()}
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
        <p>{reason === "signing" ? t("stepUp.why") : t("stepUp.overWhy")}</p>
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
    </Dialog>
  );
};
