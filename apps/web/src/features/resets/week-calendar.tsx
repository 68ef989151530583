import type { Reset } from "@heelward/contracts";
import { addDays } from "@heelward/domain/time";
import {
  CalendarCheck,
  CalendarSync,
  ChevronLeft,
  ChevronRight,
  Clock,
  TriangleAlert,
} from "lucide-react";
import { type DragEvent, useState } from "react";
import { useTranslation } from "react-i18next";
import { useCurrent } from "../../app/current-session.tsx";
import { useSearchState } from "../../app/use-address.ts";
import { Button, IconButton } from "../../components/button.tsx";
import { classNames } from "../../components/class-names.ts";
import { Link } from "../../components/link.tsx";
import { todayIn, useFormat } from "../../language/format.ts";
import { isBooked, isLate } from "./board.ts";
import { BookDialog } from "./reset-dialogs.tsx";
import styles from "./calendar.module.css";

const WEEKS = 4;
const DRAG_TYPE = "text/plain";

/** The Monday of a day's week. */
const mondayOf = (on: string): string => {
  const weekday = new Date(`${on}T00:00:00Z`).getUTCDay();
  return addDays(on, -((weekday + 6) % 7));
};

const bookedOn = (reset: Reset): string | null =>
  reset.bookedFor === null ? null : todayIn(reset.yard.timeZone, new Date(reset.bookedFor));

const Entry = ({
  reset,
  onDay,
  onMove,
}: {
  readonly reset: Reset;
  readonly onDay: boolean;
  /** For those who do not drag. */
  readonly onMove: () => void;
}) => {
  const { t } = useTranslation("resets");
  const format = useFormat(reset.yard.timeZone);
  const look = isBooked(reset) ? "booked" : isLate(reset) ? "late" : "due";
  const Icon = { booked: CalendarCheck, late: TriangleAlert, due: Clock }[look];
  return (
    <div
      draggable
      onDragStart={(event) => event.dataTransfer.setData(DRAG_TYPE, reset.id)}
      className={classNames(styles["entry"], styles[look])}
    >
      <Icon aria-hidden />
      <div>
        <Link href={`/resets/${reset.id}`}>{reset.horse.name}</Link>
        <div className={styles["small"]}>
          {reset.bookedFor === null
            ? onDay
              ? t("dueHere")
              : format.shortDate(reset.dueOn)
            : format.time(reset.bookedFor)}
          {" · "}
          {reset.yard.name}
        </div>
      </div>
      <button
        type="button"
        className={classNames(styles["move"], "no-print")}
        aria-label={t(isBooked(reset) ? "rebookTitle" : "bookTitle", { horse: reset.horse.name })}
        title={t(isBooked(reset) ? "rebook" : "book")}
        onClick={onMove}
      >
        <CalendarSync aria-hidden />
      </button>
    </div>
  );
};

/** Four weeks: what is booked stands on its day, what is not booked on its due day. */
export const WeekCalendar = ({ resets }: { readonly resets: readonly Reset[] }) => {
  const { t } = useTranslation("resets");
  const { session } = useCurrent();
  const format = useFormat();
  const { get, set } = useSearchState();
  const today = todayIn(session.practice.timeZone);
  const first = mondayOf(get("week") === "" ? today : get("week"));
  const [target, setTarget] = useState<{ readonly reset: Reset; readonly on?: string }>();
  const late = resets.filter((reset) => isLate(reset) && !isBooked(reset));
  const entriesOn = (on: string) =>
    resets
      .filter(
        (reset) =>
          (bookedOn(reset) ?? (isLate(reset) ? null : reset.bookBy)) === on &&
          reset.state !== "paused",
      )
      .toSorted((a, b) => (a.bookedFor ?? "9").localeCompare(b.bookedFor ?? "9"));
  const drop = (on: string) => (event: DragEvent) => {
    event.preventDefault();
    const reset = resets.find((one) => one.id === event.dataTransfer.getData(DRAG_TYPE));
    if (reset !== undefined && on >= today) setTarget({ reset, on });
  };
  return (
    <div className="stack">
      {target === undefined ? null : (
        <BookDialog reset={target.reset} on={target.on} onClose={() => setTarget(undefined)} />
      )}
      <div className="spread no-print">
        <div className="row">
          <IconButton
            label={t("earlier")}
            icon={<ChevronLeft aria-hidden />}
            onClick={() => set({ week: addDays(first, -7) })}
          />
          <Button onClick={() => set({ week: "" })}>{t("thisWeek")}</Button>
          <IconButton
            label={t("later")}
            icon={<ChevronRight aria-hidden />}
            onClick={() => set({ week: addDays(first, 7) })}
          />
        </div>
        <p className={classNames("quiet small", styles["hint"])}>{t("dragHint")}</p>
      </div>
      {late.length === 0 ? null : (
        <section className={styles["late-lane"]} aria-label={t("lateLane")}>
          <h2>{t("lateLane")}</h2>
          <div className={styles["lane"]}>
            {late.map((reset) => (
              <Entry
                key={reset.id}
                reset={reset}
                onDay={false}
                onMove={() => setTarget({ reset })}
              />
            ))}
          </div>
        </section>
      )}
      {Array.from({ length: WEEKS }, (_, week) => addDays(first, week * 7)).map((monday) => (
        <section key={monday} aria-label={t("week", { date: format.date(monday) })}>
          <div className={styles["week"]}>
            {Array.from({ length: 7 }, (_, index) => addDays(monday, index)).map((on) => {
              const entries = entriesOn(on);
              return (
                <div
                  key={on}
                  className={classNames(
                    styles["day"],
                    on === today && styles["today"],
                    on < today && styles["past"],
                    entries.length === 0 && styles["free"],
                  )}
                  onDragOver={(event) => event.preventDefault()}
                  onDrop={drop(on)}
                >
                  <h3 className={styles["date"]}>
                    {format.shortDate(on)}
                    {on === today ? <span> · {t("today")}</span> : null}
                  </h3>
                  {entries.map((reset) => (
                    <Entry key={reset.id} reset={reset} onDay onMove={() => setTarget({ reset })} />
                  ))}
                </div>
              );
            })}
          </div>
        </section>
      ))}
    </div>
  );
};
