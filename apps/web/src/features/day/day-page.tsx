import type { RouteDay } from "@heelward/contracts";
import { Route, Sun, SunDim } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useCurrent } from "../../app/current-session.tsx";
import { chooseTheme, storedTheme } from "../../app/theme.ts";
import { useSearchState } from "../../app/use-address.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { todayIn, useFormat } from "../../language/format.ts";
import { useOffline } from "../../offline/state.ts";
import { RedFlagButton } from "../../parts/red-flag-button.tsx";
import { DayStop } from "./day-stop.tsx";
import styles from "./day.module.css";
import { useRouteDay } from "./queries.ts";
import { StorageCard } from "./storage-card.tsx";

const SunSwitch = () => {
  const { t } = useTranslation("offline");
  const [isSun, setSun] = useState(() => storedTheme() === "sun");
  return (
    <Button
      size="large"
      aria-pressed={isSun}
      icon={isSun ? <SunDim aria-hidden /> : <Sun aria-hidden />}
      onClick={() => {
        chooseTheme(isSun ? "auto" : "sun");
        setSun(!isSun);
      }}
    >
      {t(isSun ? "sunOff" : "sun")}
    </Button>
  );
};

const Stops = ({ day }: { readonly day: RouteDay }) => {
  const { t } = useTranslation("offline");
  const { outbox } = useOffline();
  if (day.stops.length === 0)
    return (
      <EmptyState icon={<Route aria-hidden />} title={t("noHorses")}>
        {t("noHorsesText")}
      </EmptyState>
    );
  return (
    <div className={styles["stops"]}>
      {day.stops.map((stop, index) => (
        <DayStop
          key={stop.yard.id + stop.arriveAt}
          stop={stop}
          number={index + 1}
          outbox={outbox}
        />
      ))}
    </div>
  );
};

/** The farrier's day on one screen, made for a yard without signal: large, in order, all of it stored. */
export const DayPage = () => {
  // The stops speak of the route as well: both catalogues come before the first word is shown.
  const { t } = useTranslation(["offline", "routes"]);
  const { session } = useCurrent();
  const format = useFormat();
  const isKept = useSearchState().get("kept") !== "";
  const today = todayIn(session.practice.timeZone);
  const day = useRouteDay(today);
  const horses = (day.data?.stops ?? []).flatMap((stop) => stop.horses);
  return (
    <div className={styles["page"]}>
      <PageHeader
        title={t("dayTitle")}
        lead={[
          format.shortDate(today),
          ...(day.data === undefined
            ? []
            : [t("dayLead", { count: horses.length, km: format.number(day.data.totalKm) })]),
        ].join(" · ")}
        actions={
          <div className={styles["modes"]}>
            <SunSwitch />
            <ButtonLink href="/routes" size="large" icon={<Route aria-hidden />}>
              {t("route")}
            </ButtonLink>
          </div>
        }
      />
      <div className={styles["layout"]}>
        <div className={styles["beside"]}>
          {isKept ? <output className={styles["kept"]}>{t("kept")}</output> : null}
          <StorageCard />
          <RedFlagButton horses={horses} />
        </div>
        <QueryView query={day} lines={8}>
          {(data) => <Stops day={data} />}
        </QueryView>
      </div>
    </div>
  );
};
