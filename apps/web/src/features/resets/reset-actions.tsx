import type { Reset } from "@heelward/contracts";
import { CalendarPlus, CalendarSync, CalendarX, Mail, PhoneCall, Ruler } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { Button, IconButton } from "../../components/button.tsx";
import { ReminderDialog } from "./reminder-dialog.tsx";
import { BookDialog, ContactDialog, IntervalDialog, NotDoneDialog } from "./reset-dialogs.tsx";

const DIALOGS = {
  book: BookDialog,
  notDone: NotDoneDialog,
  contact: ContactDialog,
  interval: IntervalDialog,
  reminder: ReminderDialog,
};

/** What can be done with a reset; `isShort` shows the rarer ones as icons. */
export const ResetActions = ({
  reset,
  isShort = false,
}: {
  readonly reset: Reset;
  readonly isShort?: boolean;
}) => {
  const { t } = useTranslation("resets");
  const [open, setOpen] = useState<keyof typeof DIALOGS>();
  const isVet = useIsRole("vet");
  if (reset.status === "done" || reset.status === "dropped") return null;
  const isBooked = reset.bookedFor !== null;
  const Shown = open === undefined ? undefined : DIALOGS[open];
  const rare = [
    ...(isBooked ? [["notDone", t("notDone"), <CalendarX key="x" aria-hidden />] as const] : []),
    ["contact", t("logContact"), <PhoneCall key="c" aria-hidden />] as const,
    ["reminder", t("reminder"), <Mail key="m" aria-hidden />] as const,
    ...(isVet && !isShort
      ? [["interval", t("changeInterval"), <Ruler key="i" aria-hidden />] as const]
      : []),
  ];
  return (
    <div className="row">
      {Shown === undefined ? null : <Shown reset={reset} onClose={() => setOpen(undefined)} />}
      <Button
        look={isBooked ? "plain" : "primary"}
        icon={isBooked ? <CalendarSync aria-hidden /> : <CalendarPlus aria-hidden />}
        onClick={() => setOpen("book")}
      >
        {t(isBooked ? "rebook" : "book")}
      </Button>
      {rare.map(([key, label, icon]) =>
        isShort ? (
          <IconButton key={key} label={label} icon={icon} onClick={() => setOpen(key)} />
        ) : (
          <Button key={key} look="quiet" icon={icon} onClick={() => setOpen(key)}>
            {label}
          </Button>
        ),
      )}
    </div>
  );
};
