import { CircleAlert, CircleCheck, Download, HardDrive, RotateCw } from "lucide-react";
import { useEffect, useId, useState } from "react";
import { useTranslation } from "react-i18next";
import { useCurrent } from "../../app/current-session.tsx";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { ErrorState } from "../../components/states.tsx";
import { todayIn, useFormat } from "../../language/format.ts";
import { type KeptDay, useOffline } from "../../offline/state.ts";
import { takeDay } from "../../offline/take-day.ts";
import { DAY_LASTS_MS } from "../../offline/vault.ts";
import styles from "./day.module.css";

const MINUTE_MS = 60_000;
/** A stored day older than this is called old. House rule. */
const OLD_AFTER_MS = 4 * 3_600_000;

const useNow = (): number => {
  const [nowMs, setNowMs] = useState(Date.now);
  useEffect(() => {
    const timer = setInterval(() => setNowMs(Date.now()), MINUTE_MS);
    return () => clearInterval(timer);
  }, []);
  return nowMs;
};

const Stored = ({ day }: { readonly day: KeptDay }) => {
  const { t } = useTranslation("offline");
  const { session } = useCurrent();
  const format = useFormat();
  const nowMs = useNow();
  const at = new Date(day.storedAtMs).toISOString();
  const isToday = day.date === todayIn(session.practice.timeZone);
  const isOld = nowMs - day.storedAtMs > OLD_AFTER_MS;
  const names = format.list(day.missing);
  return (
    <>
      <div className="row">
        <strong className={styles["stored"]}>
          {t("store.stored", {
            time: format.time(at),
            horses: t("store.horses", { count: day.horses }),
          })}
        </strong>
        <Badge
          tone={isOld || !isToday ? "today" : "fine"}
          icon={isOld || !isToday ? <CircleAlert aria-hidden /> : <CircleCheck aria-hidden />}
        >
          {isOld
            ? t("store.old", { hours: Math.floor((nowMs - day.storedAtMs) / 3_600_000) })
            : t("store.fresh")}
        </Badge>
      </div>
      {isToday ? null : (
        <p className={styles["warn"]}>
          {t("store.notToday", { date: format.shortDate(day.date) })}
        </p>
      )}
      {day.isFull ? (
        <p className={styles["warn"]} role="alert">
          {t("store.full", { names: names === "" ? t("store.title") : names })}
        </p>
      ) : day.missing.length > 0 ? (
        <p className={styles["warn"]}>{t("store.missing", { names })}</p>
      ) : null}
      <details className={styles["about"]}>
        <summary>{t("store.about")}</summary>
        <p className="quiet small">
          {t("store.size", {
            megabytes: format.number(day.sizeBytes / 1_000_000),
            until: format.shortDateTime(new Date(day.storedAtMs + DAY_LASTS_MS).toISOString()),
          })}{" "}
          {t("store.limit")}
        </p>
      </details>
    </>
  );
};

/** What of the day lies on the phone, how old it is, and the button that stores it. */
export const StorageCard = () => {
  const { t } = useTranslation("offline");
  const { session } = useCurrent();
  const { canKeep, day, taking, hasSignal } = useOffline();
  const [error, setError] = useState<Error>();
  const id = useId();
  const take = () => {
    setError(undefined);
    takeDay(session).catch((thrown: unknown) =>
      setError(thrown instanceof Error ? thrown : new Error(String(thrown))),
    );
  };
  return (
    <Card>
      <div className="stack-tight">
        {!canKeep ? (
          <p className={styles["warn"]}>{t("store.cannot")}</p>
        ) : day === undefined ? (
          <>
            <p className="row">
              <HardDrive aria-hidden width="1.2em" />
              <strong className={styles["stored"]}>{t("store.none")}</strong>
            </p>
            <p className="quiet">{t("store.noneText")}</p>
          </>
        ) : (
          <Stored day={day} />
        )}
        {taking === undefined ? null : (
          <output className="stack-tight">
            <label htmlFor={id} className="small">
              {t("store.taking", { done: taking.done, of: taking.of })}
            </label>
            <progress id={id} className={styles["progress"]} value={taking.done} max={taking.of} />
          </output>
        )}
        {error === undefined ? null : (
          <>
            <p>{t("store.failed")}</p>
            <ErrorState error={error} />
          </>
        )}
        {canKeep ? (
          <Button
            look={day === undefined ? "primary" : "plain"}
            size="large"
            isWide={day === undefined}
            icon={day === undefined ? <Download aria-hidden /> : <RotateCw aria-hidden />}
            isBusy={taking !== undefined}
            disabled={!hasSignal}
            onClick={take}
          >
            {day === undefined ? t("store.take") : t("store.again")}
          </Button>
        ) : null}
      </div>
    </Card>
  );
};
