import type { Procedure } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../../api/use-call.ts";
import { Button } from "../../../components/button.tsx";
import { Dialog } from "../../../components/dialog.tsx";
import { TextArea } from "../../../components/field.tsx";
import { Form } from "../../../components/form.tsx";
import { MomentField } from "../../../components/moment-field.tsx";
import { useDraft } from "../../../components/use-draft.ts";

/** Records that it was done with what was found, or decides against it with the reason. */
export const CloseOpeningDialog = ({
  procedure,
  how,
  onClose,
}: {
  readonly procedure: Procedure;
  readonly how: "done" | "declined";
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const record = useWrite("recordProcedure");
  const decline = useWrite("declineProcedure");
  const [draft, set] = useDraft(() => ({ words: "", doneAt: new Date().toISOString() }));
  const title = how === "done" ? t("opening.record") : t("opening.decline");
  const shared = { params: { procedureId: procedure.id }, ifMatch: procedure.version };
  const send = () => {
    if (how === "done")
      record.mutate(
        { ...shared, body: { doneAt: draft.doneAt, found: draft.words } },
        { onSuccess: onClose },
      );
    else decline.mutate({ ...shared, body: { reason: draft.words } }, { onSuccess: onClose });
  };
  return (
    <Dialog title={title} isOpen onClose={onClose}>
      <Form
        problem={record.error ?? decline.error}
        onSubmit={send}
        footer={
          <>
            <Button look="primary" type="submit" isBusy={record.isPending || decline.isPending}>
              {title}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        {how === "done" ? (
          <MomentField
            label={t("opening.doneAt")}
            name="doneAt"
            value={draft.doneAt}
            onChange={set("doneAt")}
          />
        ) : null}
        <TextArea
          label={how === "done" ? t("opening.found") : t("opening.declineReason")}
          name={how === "done" ? "found" : "reason"}
          required
          maxLength={how === "done" ? 2000 : 1000}
          rows={4}
          value={draft.words}
          onChange={set("words")}
        />
      </Form>
    </Dialog>
  );
};
