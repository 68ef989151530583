import type { RouteDay } from "@heelward/contracts";
import { CircleCheck, Clock, CloudUpload, KeyRound, Phone, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../components/badges.tsx";
import { useFormat } from "../../language/format.ts";
import type { Entry, Outbox } from "../../offline/outbox.ts";
import { HorseActions } from "../../parts/horse-actions.tsx";
import { telHref } from "../../parts/tel-href.ts";
import styles from "./day.module.css";

type Stop = RouteDay["stops"][number];
type StopHorse = Stop["horses"][number];

const recordOf = (outbox: Outbox, horseId: string): Entry | undefined =>
  outbox.entries.findLast(
    (entry) => entry.lane === horseId && entry.request.operation === "recordShoeing",
  );

const RecordState = ({ entry }: { readonly entry: Entry }) => {
  const { t } = useTranslation("offline");
  if (entry.state === "conflict")
    return (
      <Badge tone="now" icon={<TriangleAlert aria-hidden />}>
        {t("done.conflict")}
      </Badge>
    );
  return entry.state === "waiting" ? (
    <Badge tone="today" icon={<CloudUpload aria-hidden />}>
      {t("done.waiting")}
    </Badge>
  ) : (
    <Badge tone="fine" icon={<CircleCheck aria-hidden />}>
      {t("done.arrived")}
    </Badge>
  );
};

const HorseBlock = ({ horse, outbox }: { readonly horse: StopHorse; readonly outbox: Outbox }) => {
  const { t } = useTranslation("offline");
  const recorded = recordOf(outbox, horse.id);
  return (
    <li className={styles["horse"]}>
      <div className="row">
        <h3>{horse.name}</h3>
        {recorded === undefined ? null : <RecordState entry={recorded} />}
      </div>
      <p>
        <strong>{horse.job}</strong> <span className="quiet">{horse.why}</span>
      </p>
      {horse.prescriptionId === null ? <p className={styles["warn"]}>{t("noPlan")}</p> : null}
      <div className={styles["actions"]}>
        <HorseActions horse={horse} size="large" />
      </div>
    </li>
  );
};

/** One yard: when, how to get in, whom to ring, and each horse with its large buttons. */
export const DayStop = ({
  stop,
  number,
  outbox,
}: {
  readonly stop: Stop;
  readonly number: number;
  readonly outbox: Outbox;
}) => {
  const { t } = useTranslation("offline");
  const format = useFormat();
  const { yard } = stop;
  return (
    <section className={styles["stop"]} aria-label={t("stop", { number, yard: yard.name })}>
      <header className={styles["stopHead"]}>
        <span className={styles["number"]} aria-hidden>
          {number}
        </span>
        <h2>{yard.name}</h2>
        <time className={styles["when"]} dateTime={stop.arriveAt}>
          <Clock aria-hidden /> {format.time(stop.arriveAt)}
        </time>
      </header>
      {yard.accessNotes === null ? null : (
        <p className={styles["access"]}>
          <KeyRound aria-hidden /> {t("access", { text: yard.accessNotes })}
        </p>
      )}
      <ul className={styles["horses"]}>
        {stop.horses.map((horse) => (
          <HorseBlock key={horse.id} horse={horse} outbox={outbox} />
        ))}
      </ul>
      {yard.phone === null ? null : (
        <a className={styles["ring"]} href={telHref(yard.phone)}>
          <Phone aria-hidden /> {t("ring", { yard: yard.name })}
        </a>
      )}
    </section>
  );
};
