import type { FilmOutline, Procedure, RadiographView } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../../api/use-call.ts";
import { Button } from "../../../components/button.tsx";
import { Dialog } from "../../../components/dialog.tsx";
import { ChoiceField, TextArea } from "../../../components/field.tsx";
import { Form } from "../../../components/form.tsx";
import { useDraft } from "../../../components/use-draft.ts";

/** Asks the vet for drainage or resection where a shadow is outlined. Asking orders nothing. */
export const AskOpeningDialog = ({
  radiograph,
  outline,
  onClose,
}: {
  readonly radiograph: RadiographView;
  readonly outline: FilmOutline;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const ask = useWrite("requestProcedure");
  const [draft, set] = useDraft<{ kind: Procedure["kind"]; reason: string }>({
    kind: "drainage",
    reason: "",
  });
  return (
    <Dialog title={t("opening.ask")} isOpen onClose={onClose}>
      <Form
        problem={ask.error}
        onSubmit={() =>
          ask.mutate(
            {
              params: { caseId: radiograph.caseId },
              body: {
                foot: radiograph.foot,
                kind: draft.kind,
                reason: draft.reason,
                outlineId: outline.id,
              },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <>
            <Button look="primary" type="submit" isBusy={ask.isPending}>
              {t("opening.ask")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <p>{t("opening.askLead")}</p>
        <ChoiceField
          label={t("opening.kind")}
          name="kind"
          value={draft.kind}
          onChange={set("kind")}
          options={[
            { value: "drainage", label: t("opening.kinds.drainage") },
            { value: "resection", label: t("opening.kinds.resection") },
          ]}
        />
        <TextArea
          label={t("opening.reason")}
          name="reason"
          required
          maxLength={1000}
          rows={3}
          value={draft.reason}
          onChange={set("reason")}
        />
      </Form>
    </Dialog>
  );
};
