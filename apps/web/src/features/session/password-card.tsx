import { Check } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";

/** Another password, with the one in force. */
export const PasswordCard = () => {
  const { t } = useTranslation("session");
  const change = useWrite("changePassword");
  const [current, setCurrent] = useState("");
  const [next, setNext] = useState("");
  return (
    <Card title={t("changePassword")}>
      <Form
        problem={change.error}
        onSubmit={() =>
          change.mutate(
            { body: { current, next } },
            {
              onSuccess: () => {
                setCurrent("");
                setNext("");
              },
            },
          )
        }
        footer={
          <>
            <Button type="submit" isBusy={change.isPending}>
              {t("changePasswordSend")}
            </Button>
            {change.isSuccess ? (
              <Badge tone="fine" icon={<Check aria-hidden />}>
                {t("passwordChanged")}
              </Badge>
            ) : null}
          </>
        }
      >
        <TextField
          label={t("currentPassword")}
          name="current"
          type="password"
          autoComplete="current-password"
          required
          value={current}
          onChange={setCurrent}
        />
        <TextField
          label={t("newPassword")}
          name="next"
          type="password"
          autoComplete="new-password"
          hint={t("passwordHint")}
          required
          value={next}
          onChange={setNext}
        />
      </Form>
    </Card>
  );
};
