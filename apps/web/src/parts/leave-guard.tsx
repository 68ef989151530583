import { useBlocker } from "@tanstack/react-router";
import { useTranslation } from "react-i18next";
import { Button } from "../components/button.tsx";
import { Dialog } from "../components/dialog.tsx";

/** Asks before work that is not kept is left, by a link of the dashboard, by going back or by closing the window. */
export const LeaveGuard = ({
  isUnsaved,
  what,
}: {
  readonly isUnsaved: boolean;
  /** What would be lost. */
  readonly what: string;
}) => {
  const { t } = useTranslation();
  const blocker = useBlocker({
    // Filters and tabs change the address too, but not the page.
    shouldBlockFn: ({ current, next }) => isUnsaved && current.pathname !== next.pathname,
    enableBeforeUnload: isUnsaved,
    disabled: !isUnsaved,
    withResolver: true,
  });
  if (blocker.status !== "blocked") return null;
  return (
    <Dialog title={t("leave.title")} isOpen onClose={blocker.reset}>
      <div className="stack">
        <p>{what}</p>
        <div className="row">
          <Button look="primary" onClick={blocker.reset}>
            {t("leave.stay")}
          </Button>
          <Button look="danger" onClick={blocker.proceed}>
            {t("leave.go")}
          </Button>
        </div>
      </div>
    </Dialog>
  );
};
