import type { Reset } from "@heelward/contracts";
import { CalendarCheck, CirclePause } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge, DueBadge } from "../../components/badges.tsx";

/** Where a reset stands against its window, and whether a visit is booked. */
export const ResetState = ({ reset }: { readonly reset: Reset }) => {
  const { t } = useTranslation("resets");
  if (reset.status === "done" || reset.status === "dropped")
    return <DueBadge state={reset.status} daysLate={reset.daysLate} />;
  if (reset.state === "paused")
    return <Badge icon={<CirclePause aria-hidden />}>{t("paused")}</Badge>;
  return (
    <span className="row">
      <DueBadge state={reset.state} daysLate={reset.daysLate} />
      {reset.bookedFor === null ? null : (
        <Badge tone="fine" icon={<CalendarCheck aria-hidden />}>
          {t("booked")}
        </Badge>
      )}
    </span>
  );
};
