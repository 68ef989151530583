import type { RouteDay } from "@heelward/contracts";
import { addDays } from "@heelward/domain/time";
import {
  AlarmClock,
  CalendarX,
  ChevronLeft,
  ChevronRight,
  Printer,
  Route as RouteIcon,
  TriangleAlert,
} from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useCurrent, useIsRole } from "../../app/current-session.tsx";
import { useSearchState } from "../../app/use-address.ts";
import { Badge } from "../../components/badges.tsx";
import { Button, ButtonLink, IconButton } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Facts } from "../../components/data-list.tsx";
import { CheckField, SelectField, TextField } from "../../components/field.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { todayIn, useFormat } from "../../language/format.ts";
import { usePeopleOf } from "../../parts/people.ts";
import { PrintStamp } from "../../parts/print-stamp.tsx";
import { DelayDialog } from "./delay-dialog.tsx";
import { useRouteDay } from "./queries.ts";
import { RouteMap } from "./route-map.tsx";
import { StopCard } from "./stop-card.tsx";
import styles from "./routes.module.css";

const FIRST_START = "08:00";

const useHours = () => {
  const { t } = useTranslation("routes");
  return (minutes: number) =>
    minutes < 60
      ? t("minutes", { count: Math.round(minutes) })
      : t("hours", { hours: Math.floor(minutes / 60), minutes: Math.round(minutes % 60) });
};

const Warnings = ({ day }: { readonly day: RouteDay }) => {
  const { t } = useTranslation("routes");
  return (
    <>
      {day.problems.length === 0 ? null : (
        <Card title={t("problems")}>
          <ul className={styles["warnings"]}>
            {day.problems.map((problem) => (
              <li key={problem}>
                <TriangleAlert aria-hidden />
                {problem}
              </li>
            ))}
          </ul>
        </Card>
      )}
      {day.unplanned.length === 0 ? null : (
        <Card title={t("unplanned")}>
          <p className="quiet">{t("unplannedText")}</p>
          <ul className={styles["warnings"]}>
            {day.unplanned.map((one) => (
              <li key={one.horse + one.reason}>
                <CalendarX aria-hidden />
                <span>
                  <strong>{one.horse}</strong>: {one.reason}
                </span>
              </li>
            ))}
          </ul>
        </Card>
      )}
    </>
  );
};

/** Below the stops, on paper only: what to mind, whose day it is and how old it is. */
const Printed = ({ day, readAt }: { readonly day: RouteDay; readonly readAt: string }) => {
  const { t } = useTranslation("routes");
  const format = useFormat();
  return (
    <div className={styles["printed"]}>
      <p>{t("paperCaution")}</p>
      <PrintStamp
        version={t("stamp", {
          name: day.farrier.name,
          date: format.date(day.date),
          when: format.time(readAt),
        })}
      />
    </div>
  );
};

const Day = ({ day, readAt }: { readonly day: RouteDay; readonly readAt: string }) => {
  const { t } = useTranslation("routes");
  const format = useFormat();
  const hours = useHours();
  const horses = day.stops.reduce((sum, stop) => sum + stop.horses.length, 0);
  if (day.stops.length === 0)
    return (
      <div className="stack">
        <Warnings day={day} />
        <EmptyState
          icon={<RouteIcon aria-hidden />}
          title={t("empty")}
          action={<ButtonLink href="/resets">{t("emptyAction")}</ButtonLink>}
        >
          {t("emptyText")}
        </EmptyState>
        <Printed day={day} readAt={readAt} />
      </div>
    );
  return (
    <div className={styles["day"]}>
      <div className={styles["side"]}>
        <Card className={styles["facts"]}>
          <div className="stack">
            <Facts
              items={[
                [t("stops", { count: day.stops.length }), t("horses", { count: horses })],
                [
                  t("driving"),
                  `${t("km", { km: format.number(day.totalKm) })} · ${hours(day.totalDriveMinutes)}`,
                ],
                [t("work"), hours(day.workMinutes)],
                [t("departs"), day.departsAt === null ? "–" : format.time(day.departsAt)],
                [t("ends"), day.endsAt === null ? "–" : format.time(day.endsAt)],
              ]}
            />
            <div>
              <Badge
                tone={day.proof === "optimal" ? "fine" : "plain"}
                icon={<RouteIcon aria-hidden />}
              >
                {t(`proof.${day.proof}`)}
              </Badge>
            </div>
          </div>
        </Card>
        <div className={`${styles["mapCard"] ?? ""} no-print`}>
          <Card title={t("map")}>
            <RouteMap stops={day.stops} start={day.start} />
          </Card>
        </div>
      </div>
      <div className={styles["main"]}>
        <Warnings day={day} />
        <ol className={styles["stops"]}>
          {day.stops.map((stop, index) => (
            <StopCard key={stop.yard.id + stop.arriveAt} stop={stop} number={index + 1} />
          ))}
        </ol>
        <Printed day={day} readAt={readAt} />
      </div>
    </div>
  );
};

/** A farrier's day in the best order; the office may look at each farrier's. */
export const RoutesPage = () => {
  const { t } = useTranslation("routes");
  const { session, role } = useCurrent();
  const { get, set } = useSearchState();
  const format = useFormat();
  const isFarrier = role === "farrier";
  const mayReport = useIsRole("farrier", "manager");
  const [isLate, setLate] = useState(false);
  const farriers = usePeopleOf("farrier");
  const today = todayIn(session.practice.timeZone);
  const date = get("day") === "" ? today : get("day");
  const farrierId = isFarrier ? "" : get("farrier") || (farriers[0]?.id ?? "");
  const start = get("start") === "" ? FIRST_START : get("start");
  const withDue = get("due") !== "";
  const day = useRouteDay(
    date,
    {
      startTime: start,
      include: withDue ? "due" : "booked",
      ...(farrierId === "" ? {} : { farrierId }),
    },
    isFarrier || farrierId !== "",
  );
  const go = (on: string) => set({ day: on === today ? "" : on });
  return (
    <>
      <PageHeader
        title={t(isFarrier ? "titleMine" : "title")}
        lead={[format.shortDate(date), day.data?.farrier.name].filter(Boolean).join(" · ")}
        actions={
          <>
            {mayReport && (day.data?.stops.length ?? 0) > 0 ? (
              <Button icon={<AlarmClock aria-hidden />} onClick={() => setLate(true)}>
                {t("late")}
              </Button>
            ) : null}
            <Button icon={<Printer aria-hidden />} onClick={() => window.print()}>
              {t("print")}
            </Button>
          </>
        }
      />
      {isLate ? (
        <DelayDialog date={date} farrierId={farrierId} onClose={() => setLate(false)} />
      ) : null}
      <div className="stack">
        <div className={`${styles["switcher"] ?? ""} no-print`}>
          <div className={styles["arrows"]}>
            <IconButton
              label={t("dayBefore")}
              icon={<ChevronLeft aria-hidden />}
              onClick={() => go(addDays(date, -1))}
            />
            <Button onClick={() => go(today)} aria-pressed={date === today}>
              {t("today")}
            </Button>
            <IconButton
              label={t("dayAfter")}
              icon={<ChevronRight aria-hidden />}
              onClick={() => go(addDays(date, 1))}
            />
          </div>
          <TextField
            label={t("day")}
            type="date"
            value={date}
            onChange={(on) => (on === "" ? undefined : go(on))}
          />
          <TextField
            label={t("start")}
            type="time"
            value={start}
            onChange={(time) => set({ start: time === FIRST_START ? "" : time })}
          />
          <CheckField
            label={t("withDue")}
            value={withDue}
            onChange={(isOn) => set({ due: isOn ? "yes" : "" })}
          />
          {isFarrier ? null : (
            <SelectField
              label={t("farrier")}
              value={farrierId}
              onChange={(farrier) => set({ farrier })}
              options={farriers.map((one) => ({ value: one.id, label: one.name }))}
            />
          )}
        </div>
        <QueryView query={day} lines={8}>
          {(data) => <Day day={data} readAt={new Date(day.dataUpdatedAt).toISOString()} />}
        </QueryView>
      </div>
    </>
  );
};
