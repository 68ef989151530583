import type { RouteDay } from "@heelward/contracts";
import { Clock, KeyRound, Navigation, Phone } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge, type Tone } from "../../components/badges.tsx";
import { Link } from "../../components/link.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./routes.module.css";
import { HorseActions } from "../../parts/horse-actions.tsx";
import { telHref } from "../../parts/tel-href.ts";

type Stop = RouteDay["stops"][number];
type StopHorse = Stop["horses"][number];

/** Below this many minutes of slack the stop is called tight. House rule. */
const TIGHT_MINUTES = 15;
const TONES: Readonly<Record<string, Tone>> = {
  red: "now",
  amber: "today",
  due: "today",
  "due soon": "soon",
};

const minutesBetween = (from: string, to: string): number =>
  Math.round((Date.parse(to) - Date.parse(from)) / 60_000);

const HorseLine = ({ horse }: { readonly horse: StopHorse }) => {
  const { t } = useTranslation("routes");
  const format = useFormat();
  return (
    <li className={styles["horse"]}>
      <div>
        <div className="row">
          <Link href={`/horses/${horse.id}`} className={styles["horseName"]}>
            {horse.name}
          </Link>
          <Badge tone={TONES[horse.state] ?? "plain"} icon={<Clock aria-hidden />}>
            {t(`states.${horse.state as "due"}`, { defaultValue: horse.state })}
          </Badge>
        </div>
        <p>
          <strong>{horse.job}</strong> · {t("minutes", { count: horse.minutes })} ·{" "}
          {horse.bookedFor === null
            ? t("draft")
            : t("told", { time: format.time(horse.bookedFor) })}
        </p>
        <p className="quiet">
          <span className="only-read">{t("why")}: </span>
          {horse.why}
        </p>
        {horse.prescriptionId === null ? <p className={styles["noPlan"]}>{t("noPlan")}</p> : null}
      </div>
      <div className={`${styles["horseActions"] ?? ""} no-print`}>
        <HorseActions horse={horse} size="usual" />
      </div>
    </li>
  );
};

/** One yard of the day: when, how to get in, whom to ring, and each horse with why. */
export const StopCard = ({ stop, number }: { readonly stop: Stop; readonly number: number }) => {
  const { t } = useTranslation("routes");
  const format = useFormat();
  const { yard } = stop;
  const early = minutesBetween(stop.arriveAt, stop.startAt);
  const slack = Math.floor(stop.slackMinutes);
  return (
    <li>
      <p className={styles["leg"]}>
        {t("leg", { km: format.number(stop.driveKm), minutes: Math.round(stop.driveMinutes) })}
      </p>
      <section className={styles["stop"]} aria-label={`${String(number)} ${yard.name}`}>
        <div className={styles["stopHead"]}>
          <span className={styles["number"]} aria-hidden>
            {number}
          </span>
          <div className={styles["when"]}>
            <span className="only-read">{t("arrive")} </span>
            <time dateTime={stop.arriveAt}>{format.time(stop.arriveAt)}</time>
          </div>
          <div>
            <h2>
              <Link href={`/yards/${yard.id}`}>{yard.name}</Link>
            </h2>
            <p className="quiet small">
              {[
                ...(early > 0
                  ? [t("wait", { minutes: early }), t("begin", { time: format.time(stop.startAt) })]
                  : []),
                t("leave", { time: format.time(stop.leaveAt) }),
                slack <= 0
                  ? t("noSlack")
                  : t(slack < TIGHT_MINUTES ? "tight" : "slack", { minutes: slack }),
              ].join(" · ")}
            </p>
          </div>
        </div>
        <p className={styles["access"]}>
          <KeyRound aria-hidden />
          <span>
            <strong>{t("access")}.</strong> {yard.accessNotes ?? t("noAccess")}
          </span>
        </p>
        <div className={styles["reach"]}>
          <a
            className={`${styles["reachLink"] ?? ""} ${styles["onScreen"] ?? ""}`}
            href={stop.geoLink}
            aria-label={t("navigateTo", { yard: yard.name })}
          >
            <Navigation aria-hidden />
            {t("navigate")}
          </a>
          {yard.phone === null ? null : (
            <a
              className={styles["reachLink"]}
              href={telHref(yard.phone)}
              aria-label={t("callYard", { yard: yard.name })}
            >
              <Phone aria-hidden />
              {t("call", { phone: yard.phone })}
            </a>
          )}
        </div>
        <ul className={styles["horses"]}>
          {stop.horses.map((horse) => (
            <HorseLine key={horse.id} horse={horse} />
          ))}
        </ul>
      </section>
    </li>
  );
};
