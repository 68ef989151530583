import { useState } from "react";
import { useTranslation } from "react-i18next";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { TextArea } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";

/** Asks why before something ends or moves. */
export const ReasonDialog = ({
  title,
  text,
  label,
  problem,
  isBusy,
  onReason,
  onClose,
}: {
  readonly title: string;
  readonly text?: string;
  readonly label: string;
  readonly problem: Error | null;
  readonly isBusy: boolean;
  readonly onReason: (reason: string) => void;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["recovery", "common"]);
  const [reason, setReason] = useState("");
  return (
    <Dialog title={title} isOpen onClose={onClose}>
      <Form
        problem={problem}
        onSubmit={() => onReason(reason)}
        footer={
          <>
            <Button type="submit" look="primary" isBusy={isBusy}>
              {label}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        {text === undefined ? null : <p>{text}</p>}
        <TextArea label={t("why")} name="reason" rows={3} value={reason} onChange={setReason} />
      </Form>
    </Dialog>
  );
};
