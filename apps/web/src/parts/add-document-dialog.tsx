import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../api/use-call.ts";
import { Button } from "../components/button.tsx";
import { Dialog } from "../components/dialog.tsx";
import { CheckField, ChoiceField, TextField } from "../components/field.tsx";
import { FileField } from "../components/file-field.tsx";
import { Form } from "../components/form.tsx";
import { MomentField } from "../components/moment-field.tsx";
import { typedText } from "../components/use-draft.ts";
import { useTimeZone } from "../language/time-zone.ts";
import { nowIn } from "../language/wall-clock.ts";

/** Adds a photo or a paper to a horse. */
export const AddDocumentDialog = ({
  horseId,
  onClose,
}: {
  readonly horseId: string;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["cases", "common"]);
  const timeZone = useTimeZone();
  const add = useWrite("addDocument");
  const [file, setFile] = useState<File | null>(null);
  const [kind, setKind] = useState<"photo" | "document">("photo");
  const [takenAt, setTakenAt] = useState(() => nowIn(timeZone));
  const [caption, setCaption] = useState("");
  const [forOwner, setForOwner] = useState(false);
  const words = typedText(caption);
  return (
    <Dialog title={t("addDocument")} isOpen onClose={onClose}>
      <Form
        problem={add.error}
        onSubmit={() => {
          if (file !== null)
            add.mutate(
              {
                params: { horseId },
                file,
                body: {
                  kind,
                  takenAt,
                  forOwner: forOwner ? "true" : "false",
                  ...(words && { caption: words }),
                },
              },
              { onSuccess: onClose },
            );
        }}
        footer={
          <Button look="primary" type="submit" disabled={file === null} isBusy={add.isPending}>
            {t("common:save")}
          </Button>
        }
      >
        <FileField
          label={t("file")}
          name="file"
          hint={t("fileHint")}
          accept="image/jpeg,image/png,application/pdf"
          onChange={setFile}
        />
        <ChoiceField
          label={t("kind")}
          name="kind"
          value={kind}
          onChange={setKind}
          options={(["photo", "document"] as const).map((one) => ({
            value: one,
            label: t(`kinds.${one}`),
          }))}
        />
        <MomentField label={t("taken")} name="takenAt" value={takenAt} onChange={setTakenAt} />
        <TextField
          label={t("caption")}
          name="caption"
          isOptional
          value={caption}
          onChange={setCaption}
        />
        <CheckField label={t("forOwner")} value={forOwner} onChange={setForOwner} />
      </Form>
    </Dialog>
  );
};
