import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../../api/use-call.ts";
import { Button } from "../../../components/button.tsx";
import { Dialog } from "../../../components/dialog.tsx";
import { TextArea } from "../../../components/field.tsx";
import { Form } from "../../../components/form.tsx";
import type { Prescription } from "../queries.ts";

/** Takes a plan out of use, with the reason that everybody reads. */
export const WithdrawDialog = ({
  plan,
  onClose,
}: {
  readonly plan: Prescription;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["prescriptions", "common"]);
  const withdraw = useWrite("withdrawPrescription");
  const [reason, setReason] = useState("");
  return (
    <Dialog title={t("withdrawTitle", { number: plan.number })} isOpen onClose={onClose}>
      <Form
        problem={withdraw.error}
        onSubmit={() =>
          withdraw.mutate(
            { params: { prescriptionId: plan.id }, body: { reason }, ifMatch: plan.version },
            { onSuccess: onClose },
          )
        }
        footer={
          <>
            <Button
              look="danger"
              type="submit"
              isBusy={withdraw.isPending}
              disabled={reason.trim() === ""}
            >
              {t("withdraw")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <p>{t("withdrawText")}</p>
        <TextArea
          label={t("reason")}
          name="reason"
          maxLength={1000}
          required
          value={reason}
          onChange={setReason}
        />
      </Form>
    </Dialog>
  );
};
