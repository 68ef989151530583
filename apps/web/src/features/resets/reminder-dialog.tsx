import type { Reset } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { ErrorState } from "../../components/states.tsx";

/** Writes to the owners with a link by which they answer; says who was reached. */
export const ReminderDialog = ({
  reset,
  onClose,
}: {
  readonly reset: Reset;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["resets", "common"]);
  const send = useWrite("sendReminder");
  return (
    <Dialog title={t("reminderTitle", { horse: reset.horse.name })} isOpen onClose={onClose}>
      <div className="stack" aria-live="polite">
        {send.data === undefined ? (
          <>
            <p>{t(reset.bookedFor === null ? "reminderAsk" : "reminderConfirm")}</p>
            {send.error === null ? null : <ErrorState error={send.error} />}
            <div className="row">
              <Button
                look="primary"
                isBusy={send.isPending}
                onClick={() => send.mutate({ params: { resetId: reset.id } })}
              >
                {t("reminderSend")}
              </Button>
              <Button look="quiet" onClick={onClose}>
                {t("common:cancel")}
              </Button>
            </div>
          </>
        ) : (
          <>
            {send.data.writtenTo.length === 0 ? null : (
              <p>
                {t("reminderSent", {
                  names: send.data.writtenTo.map((one) => one.name).join(", "),
                })}
              </p>
            )}
            {send.data.notWrittenTo.map((one) => (
              <p key={one.person.id}>
                {t("reminderNotSent", { name: one.person.name, why: one.why })}
              </p>
            ))}
            <div className="row">
              <Button look="primary" onClick={onClose}>
                {t("common:close")}
              </Button>
            </div>
          </>
        )}
      </div>
    </Dialog>
  );
};
