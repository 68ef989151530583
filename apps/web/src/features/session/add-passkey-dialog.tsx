import { useMutation } from "@tanstack/react-query";
import { KeyRound } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { call } from "../../api/client.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { makePasskey } from "../../parts/passkeys.ts";

/** Adds a passkey: name it, then the device asks for finger, face or PIN. */
export const AddPasskeyDialog = ({
  onAdded,
  onClose,
}: {
  readonly onAdded: (recoveryCodes: readonly string[] | null) => void;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["session", "common"]);
  const [name, setName] = useState("");
  const add = useMutation({
    mutationFn: async () => {
      const { options } = await call("startPasskey", {});
      return call("addPasskey", { body: { name, answer: await makePasskey(options) } });
    },
    onSuccess: ({ recoveryCodes }) => onAdded(recoveryCodes),
  });
  return (
    <Dialog title={t("addPasskey")} isOpen onClose={onClose}>
      <Form
        problem={add.error}
        onSubmit={() => add.mutate()}
        footer={
          <Button
            look="primary"
            type="submit"
            icon={<KeyRound aria-hidden />}
            isBusy={add.isPending}
          >
            {t("makePasskey")}
          </Button>
        }
      >
        <p>{t("addPasskeyLead")}</p>
        <TextField
          label={t("factorName")}
          name="name"
          hint={t("passkeyNameHint")}
          required
          value={name}
          onChange={setName}
        />
      </Form>
    </Dialog>
  );
};
