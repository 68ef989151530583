import type { CaseTask } from "@heelward/contracts";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { CheckField, TextArea } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { typedText } from "../../components/use-draft.ts";
import { PhotoPicker } from "../../parts/photo-picker.tsx";

/** Done, with photos and what was seen; a vet may set it aside instead. */
export const FinishTaskDialog = ({
  task,
  onClose,
}: {
  readonly task: CaseTask;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["procedures", "common"]);
  const isVet = useIsRole("vet");
  const finish = useWrite("finishCaseTask");
  const [outcome, setOutcome] = useState("");
  const [setAside, setSetAside] = useState(false);
  const [photoIds, setPhotoIds] = useState<readonly string[]>([]);
  const words = typedText(outcome);
  return (
    <Dialog title={t("finishTitle", { task: task.title })} isOpen onClose={onClose}>
      <Form
        problem={finish.error}
        onSubmit={() =>
          finish.mutate(
            {
              params: { taskId: task.id },
              ifMatch: task.version,
              body: { setAside, photoIds: [...photoIds], ...(words && { outcome: words }) },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <Button look="primary" type="submit" isBusy={finish.isPending}>
            {t("common:save")}
          </Button>
        }
      >
        <PhotoPicker
          horseId={task.horseId}
          ids={photoIds}
          onAdd={(id) => setPhotoIds((before) => [...before, id])}
        />
        <TextArea
          label={t("outcome")}
          name="outcome"
          maxLength={1000}
          isOptional={!setAside}
          value={outcome}
          onChange={setOutcome}
        />
        {isVet ? (
          <CheckField label={t("setAside")} value={setAside} onChange={setSetAside} />
        ) : null}
      </Form>
    </Dialog>
  );
};
