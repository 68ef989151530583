import { CalendarDays, MapPin } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Card } from "../../components/card.tsx";
import { useFormat } from "../../language/format.ts";
import type { Reminder } from "./queries.ts";
import styles from "./reminder.module.css";

const ownZone = (): string => Intl.DateTimeFormat().resolvedOptions().timeZone;

/** When and where, large enough to read at arm's length; times are the yard's. */
export const VisitFacts = ({ reminder }: { readonly reminder: Reminder }) => {
  const { t } = useTranslation("reminder");
  const { bookedFor, timeZone, yard, horseName } = reminder;
  const format = useFormat(timeZone);
  const dayOf = (iso: string) =>
    new Intl.DateTimeFormat(format.locale, {
      timeZone,
      weekday: "long",
      day: "numeric",
      month: "long",
    }).format(new Date(iso));
  const time = bookedFor === null ? "" : format.time(bookedFor);
  return (
    <Card>
      <dl className={styles["facts"]}>
        <CalendarDays aria-hidden />
        <div>
          <dt>{t("when")}</dt>
          <dd>{bookedFor === null ? t("noDate") : dayOf(bookedFor)}</dd>
          <dd>
            {bookedFor === null && t("noDateText", { horse: horseName })}
            {bookedFor !== null && (ownZone() === timeZone ? time : t("atYard", { time }))}
          </dd>
        </div>
        <MapPin aria-hidden />
        <div>
          <dt>{t("where")}</dt>
          <dd>{yard}</dd>
        </div>
      </dl>
    </Card>
  );
};
