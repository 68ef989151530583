import type { CoursePlan } from "@heelward/domain/medication";
import { addDays } from "@heelward/domain/time";
import { ClipboardCheck, FlaskConical } from "lucide-react";
import type { ReactNode } from "react";
import { useTranslation } from "react-i18next";
import { classNames } from "../../components/class-names.ts";
import { useFormat } from "../../language/format.ts";
import { useAmount } from "./plan-view.tsx";
import styles from "./medication.module.css";

const MOST_WEEKS = 8;

const mondayOf = (on: string): string =>
  addDays(on, -((new Date(`${on}T00:00:00Z`).getUTCDay() + 6) % 7));

const Mark = ({ icon, label }: { readonly icon: ReactNode; readonly label: string }) => (
  <>
    {icon}
    <span className="only-read">{label}</span>
  </>
);

/** The course day by day: how much in all, with reviews and tests marked by icon. */
export const DoseCalendar = ({ plan }: { readonly plan: CoursePlan }) => {
  const { t } = useTranslation("medication");
  const format = useFormat();
  const amount = useAmount();
  const first = plan.doses[0]?.on;
  if (first === undefined) return null;
  const monday = mondayOf(first);
  const totals = new Map<string, number>();
  for (const dose of plan.doses) totals.set(dose.on, (totals.get(dose.on) ?? 0) + dose.doseMg);
  const most = Math.max(...totals.values());
  const days = Math.round((Date.parse(plan.lastDoseOn) - Date.parse(monday)) / 86_400_000) + 1;
  const weeks = Math.min(MOST_WEEKS, Math.ceil(days / 7));
  const [shortDay, weekday] = (
    [{ day: "numeric", month: "short" }, { weekday: "short" }] as const
  ).map((options) => new Intl.DateTimeFormat(format.locale, { timeZone: "UTC", ...options }));
  const at = (on: string) => new Date(`${on}T00:00:00Z`);
  const dayOf = (on: string) => shortDay?.format(at(on));
  const hasTest = (on: string) => plan.monitoring.some((task) => task.dueOn === on);
  return (
    <div className="stack-tight">
      <div className={styles["weekdays"]} aria-hidden>
        {Array.from({ length: 7 }, (_, index) => addDays(monday, index)).map((on) => (
          <span key={on}>{weekday?.format(at(on))}</span>
        ))}
      </div>
      <ol className={styles["calendar"]} aria-label={t("calendarText")}>
        {Array.from({ length: weeks * 7 }, (_, index) => addDays(monday, index)).map((on) => {
          const total = totals.get(on) ?? 0;
          const isOutside = on < first || on > plan.lastDoseOn;
          return (
            <li key={on} className={classNames(styles["cell"], isOutside && styles["outside"])}>
              <span
                className={styles["fill"]}
                style={{ height: `${String(Math.round((total / most) * 100))}%` }}
              />
              <span className={styles["cellDate"]}>{dayOf(on)}</span>
              <span className={styles["cellDose"]}>
                {total === 0 ? (
                  <span className="quiet">
                    –<span className="only-read"> {t("noDose")}</span>
                  </span>
                ) : (
                  amount(total)
                )}
              </span>
              <span className={styles["cellMarks"]}>
                {on === plan.reviewOn ? (
                  <Mark icon={<ClipboardCheck aria-hidden />} label={t("reviewMark")} />
                ) : null}
                {hasTest(on) ? (
                  <Mark icon={<FlaskConical aria-hidden />} label={t("testMark")} />
                ) : null}
              </span>
            </li>
          );
        })}
      </ol>
      <p className={`${styles["legend"] ?? ""} quiet small`}>
        <ClipboardCheck aria-hidden /> {t("reviewMark")} <FlaskConical aria-hidden />{" "}
        {t("testMark")}
      </p>
    </div>
  );
};
