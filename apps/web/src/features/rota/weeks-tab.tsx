import { CalendarCog } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useCurrent, useIsRole } from "../../app/current-session.tsx";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Facts } from "../../components/data-list.tsx";
import { useFormat } from "../../language/format.ts";
import { weekdayNames } from "../../language/weekdays.ts";
import { usePeopleOf } from "../../parts/people.ts";
import { useYards } from "../../parts/yards.ts";
import { useWeeks, type Week } from "./queries.ts";
import styles from "./rota.module.css";
import { WeekDialog } from "./week-dialog.tsx";

const WeekCard = ({ week, onEdit }: { readonly week: Week; readonly onEdit?: () => void }) => {
  const { t } = useTranslation("rota");
  const days = weekdayNames(useFormat().locale, "short");
  const yards = useYards();
  const covered = week.yardIds.flatMap((id) => yards.find((yard) => yard.id === id)?.name ?? []);
  return (
    <Card
      title={
        <span className="row">
          {week.person.name}
          {week.isStandard ? <Badge>{t("standard")}</Badge> : null}
        </span>
      }
      actions={
        onEdit === undefined ? undefined : (
          <Button look="quiet" icon={<CalendarCog aria-hidden />} onClick={onEdit}>
            {t("edit")}
          </Button>
        )
      }
    >
      <div className="stack">
        <ol className={styles["week"]} aria-label={t("hours")}>
          {days.map((day, index) => {
            const hours = week.hours.find((one) => one.weekday === index + 1);
            return (
              <li key={day} className={hours === undefined ? styles["off"] : styles["on"]}>
                <span className={styles["day"]}>{day}</span>
                {hours === undefined ? (
                  <span>{t("off")}</span>
                ) : (
                  <span>
                    {hours.starts}
                    <br />
                    {hours.ends}
                  </span>
                )}
              </li>
            );
          })}
        </ol>
        <Facts
          items={[
            [t("lunch"), week.lunch === null ? t("noLunch") : t("lunchText", week.lunch)],
            [t("skills"), week.skills.length === 0 ? t("noSkills") : week.skills.join(", ")],
            [t("covers"), covered.length === 0 ? t("allYards") : covered.join(", ")],
            [t("home"), week.home === null ? t("homeNone") : t("homeSet")],
          ]}
        />
        {week.isStandard ? <p className="quiet small">{t("standardText")}</p> : null}
      </div>
    </Card>
  );
};

/** The week of every farrier; a farrier changes the own, the practice manager everybody's. */
export const WeeksTab = () => {
  const { session } = useCurrent();
  const [isManager, isFarrier] = [useIsRole("manager"), useIsRole("farrier")];
  const farriers = usePeopleOf("farrier");
  const weeks = useWeeks(farriers.map((one) => one.id));
  const [edited, setEdited] = useState<Week>();
  const mayEdit = (week: Week) => isManager || (isFarrier && week.person.id === session.person.id);
  return (
    <div className={styles["cards"]}>
      {edited === undefined ? null : (
        <WeekDialog week={edited} onClose={() => setEdited(undefined)} />
      )}
      {weeks.map((week) => (
        <WeekCard
          key={week.person.id}
          week={week}
          {...(mayEdit(week) ? { onEdit: () => setEdited(week) } : {})}
        />
      ))}
    </div>
  );
};
