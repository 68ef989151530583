import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { TextArea } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { typedText } from "../../components/use-draft.ts";
import type { PlanChoice } from "./queries.ts";

/** Books what was chosen of a plan; each visit stands or falls by itself. */
export const AdoptDialog = ({
  planId,
  choices,
  onClose,
}: {
  readonly planId: string;
  readonly choices: readonly PlanChoice[];
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["planning", "common"]);
  const adopt = useWrite("adoptPlan");
  const [text, setText] = useState("");
  const reason = typedText(text);
  const needsReason = choices.some((one) => one.movedPromise || one.lateDays > 0);
  return (
    <Dialog title={t("adoptTitle")} isOpen onClose={onClose}>
      <Form
        problem={adopt.error}
        onSubmit={() =>
          adopt.mutate(
            {
              params: { planId },
              body: {
                choices: choices.map(({ resetId, resetVersion }) => ({ resetId, resetVersion })),
                ...(reason === undefined ? {} : { reason }),
              },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <>
            <Button
              type="submit"
              look="primary"
              isBusy={adopt.isPending}
              disabled={needsReason && reason === undefined}
            >
              {t("adopt", { count: choices.length })}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <p className="quiet">{t("adoptText")}</p>
        <TextArea
          label={t("reason")}
          name="reason"
          isOptional={!needsReason}
          hint={t("reasonHint")}
          rows={2}
          value={text}
          onChange={setText}
        />
      </Form>
    </Dialog>
  );
};
