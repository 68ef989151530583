import type { MonitoringTaskView } from "@heelward/contracts";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { TextArea } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";

/** A vet sets a task aside and says why; it stays in sight. */
export const WaiveDialog = ({
  task,
  onClose,
}: {
  readonly task: MonitoringTaskView;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["monitoring", "common"]);
  const waive = useWrite("waiveMonitoringTask");
  const [reason, setReason] = useState("");
  return (
    <Dialog title={t("waiveTitle", { task: task.title })} isOpen onClose={onClose}>
      <Form
        problem={waive.error}
        onSubmit={() =>
          waive.mutate(
            { params: { horseId: task.horse.id }, body: { taskKey: task.key, reason } },
            { onSuccess: onClose },
          )
        }
        footer={
          <>
            <Button type="submit" look="primary" isBusy={waive.isPending}>
              {t("waive")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <p>{t("waiveMeans")}</p>
        <TextArea
          label={t("waiveReason")}
          name="reason"
          rows={3}
          value={reason}
          onChange={setReason}
        />
      </Form>
    </Dialog>
  );
};
