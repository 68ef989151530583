import type { Procedure } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../../api/use-call.ts";
import { Button } from "../../../components/button.tsx";
import { Dialog } from "../../../components/dialog.tsx";
import { TextArea, TextField } from "../../../components/field.tsx";
import { Form } from "../../../components/form.tsx";
import { MomentField } from "../../../components/moment-field.tsx";
import { useDraft } from "../../../components/use-draft.ts";

/** A vet orders the opening: who consented to what, and the aftercare, sealed together. */
export const SignOpeningDialog = ({
  procedure,
  onClose,
}: {
  readonly procedure: Procedure;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const sign = useWrite("signProcedure");
  const [draft, set] = useDraft(() => ({
    by: "",
    text: "",
    at: new Date().toISOString(),
    aftercare: "",
  }));
  const lines = draft.aftercare
    .split("\n")
    .flatMap((one) => (one.trim() === "" ? [] : [one.trim()]));
  return (
    <Dialog title={t("opening.sign")} isOpen isWide onClose={onClose}>
      <Form
        problem={sign.error}
        onSubmit={() =>
          sign.mutate(
            {
              params: { procedureId: procedure.id },
              ifMatch: procedure.version,
              body: {
                consent: { by: draft.by, text: draft.text, at: draft.at },
                aftercare: lines,
              },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <>
            <Button
              look="primary"
              type="submit"
              disabled={lines.length === 0}
              isBusy={sign.isPending}
            >
              {t("opening.sign")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <p>{t("opening.signLead")}</p>
        <TextField
          label={t("opening.consentBy")}
          name="consent/by"
          required
          maxLength={120}
          value={draft.by}
          onChange={set("by")}
        />
        <MomentField
          label={t("opening.consentAt")}
          name="consent/at"
          value={draft.at}
          onChange={set("at")}
        />
        <TextArea
          label={t("opening.consentText")}
          name="consent/text"
          required
          maxLength={2000}
          rows={3}
          value={draft.text}
          onChange={set("text")}
        />
        <TextArea
          label={t("opening.aftercare")}
          name="aftercare"
          hint={t("opening.aftercareHint")}
          required
          rows={4}
          value={draft.aftercare}
          onChange={set("aftercare")}
        />
      </Form>
    </Dialog>
  );
};
