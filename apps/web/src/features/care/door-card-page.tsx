import type { CareDay, Horse, LimbWatch, Yard } from "@heelward/contracts";
import { Printer, Square, TriangleAlert } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useCurrent } from "../../app/current-session.tsx";
import { useParam } from "../../app/use-address.ts";
import { Button } from "../../components/button.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { QueryView } from "../../components/states.tsx";
import { todayIn, useFormat } from "../../language/format.ts";
import { PrintStamp } from "../../parts/print-stamp.tsx";
import { telHref } from "../../parts/tel-href.ts";
import { isStopped, isToDo } from "./dose-card.tsx";
import styles from "./door-card.module.css";
import { useCareDay, useHorse, useOpenWatches, useYard } from "./queries.ts";

/** Red flags anybody sees over the box door. Which signs are red flags: the list of the yard check. */
const SEEN_FROM_THE_DOOR = [
  "cannotGetUp",
  "suddenThreeLeggedLameness",
  "supportLimbSuddenlyRested",
  "cannotLiftEitherFrontFoot",
  "colic",
  "offFood",
] as const;

const Lines = ({
  title,
  lines,
  icon,
  none,
}: {
  readonly title: string;
  readonly lines: readonly string[];
  /** What stands there when there is no line. */
  readonly none?: string;
  readonly icon: "box" | "warning";
}) => {
  const Icon = icon === "box" ? Square : TriangleAlert;
  return (
    <section className={styles["part"]}>
      <h2>{title}</h2>
      {lines.length === 0 ? (
        <p>{none}</p>
      ) : (
        <ul>
          {lines.map((line) => (
            <li key={line}>
              <Icon aria-hidden />
              {line}
            </li>
          ))}
        </ul>
      )}
    </section>
  );
};

/** What is still to do with this horse today, in the order of urgency. Names and times, no amounts. */
const useToDo = () => {
  const { t } = useTranslation(["care", "common"]);
  const format = useFormat();
  return (horseId: string, day: CareDay, watches: readonly LimbWatch[]): readonly string[] => [
    ...day.firstAid
      .filter((sheet) => sheet.horse.id === horseId && sheet.open > 0)
      .map((sheet) => t("door.firstAid", { count: sheet.open })),
    ...(day.checks.some((check) => check.horse.id === horseId && check.due)
      ? [t("door.look")]
      : []),
    ...watches
      .filter((watch) => watch.dueToday > 0)
      .map((watch) =>
        t("door.foot", {
          foot: t(`common:foot.${watch.watchedFoot}`),
          count: watch.dueToday,
        }),
      ),
    ...day.doses
      .filter((dose) => dose.horse.id === horseId && (isToDo(dose) || dose.state === "later"))
      .map((dose) => t("door.give", { time: format.time(dose.scheduledAt), drug: dose.drugName })),
  ];
};

const Warnings = ({
  horse,
  day,
  watches,
}: {
  readonly horse: Horse;
  readonly day: CareDay;
  readonly watches: readonly LimbWatch[];
}) => {
  const { t } = useTranslation(["care", "common"]);
  const stopped = new Set(
    day.doses
      .filter((dose) => dose.horse.id === horse.id && isStopped(dose))
      .map((dose) => dose.drugName),
  );
  return (
    <Lines
      title={t("door.warnings")}
      icon="warning"
      lines={[
        ...[...stopped].map((drug) => t("door.stopped", { drug })),
        ...watches.map((watch) =>
          t("door.watched", { foot: t(`common:foot.${watch.watchedFoot}`) }),
        ),
        t("door.sore"),
        t("door.feed"),
      ]}
    />
  );
};

const Card = ({
  horse,
  yard,
  day,
  watches,
  readAt,
}: {
  readonly horse: Horse;
  readonly yard: Yard;
  readonly day: CareDay;
  readonly watches: readonly LimbWatch[];
  readonly readAt: string;
}) => {
  const { t } = useTranslation(["care", "common"]);
  const { session } = useCurrent();
  const format = useFormat();
  const toDo = useToDo();
  const phones = [
    [t("ring"), day.vetPhone ?? session.practice.phone],
    [t("door.yardPhone"), yard.phone],
  ].flatMap(([who, phone]) => (who && phone ? [{ who, phone }] : []));
  const lines = toDo(horse.id, day, watches);
  return (
    <article className={styles["card"]} aria-label={t("door.box")}>
      <p className={styles["name"]}>{horse.name}</p>
      <p className={styles["yard"]}>{horse.yard.name}</p>
      <section className={styles["part"]}>
        <h2>{t("door.phones")}</h2>
        {phones.length === 0 ? <p>{t("noPhone")}</p> : null}
        <ul className={styles["phones"]}>
          {phones.map(({ who, phone }) => (
            <li key={who}>
              {who}
              <a href={telHref(phone)}>{phone}</a>
            </li>
          ))}
        </ul>
      </section>
      <Lines
        title={t("door.today", { date: format.date(day.date) })}
        icon="box"
        lines={lines}
        none={t("door.nothing")}
      />
      <Warnings horse={horse} day={day} watches={watches} />
      <Lines
        title={t("door.ringIf")}
        icon="warning"
        lines={SEEN_FROM_THE_DOOR.map((sign) => t(`signWords.${sign}`))}
      />
      <p>{t("door.caution")}</p>
      <PrintStamp
        version={t("door.stamp", {
          horse: horse.name,
          date: format.date(day.date),
          when: format.time(readAt),
        })}
      />
    </article>
  );
};

/** Shown once everything on it has been read: a card without its warnings must not be printed. */
const Filled = ({ horse }: { readonly horse: Horse }) => {
  const { session } = useCurrent();
  const yard = useYard(horse.yard.id);
  const day = useCareDay(todayIn(session.practice.timeZone), horse.yard.id);
  const watches = useOpenWatches(horse.yard.id);
  return (
    <QueryView query={yard}>
      {(itsYard) => (
        <QueryView query={watches}>
          {({ items }) => (
            <QueryView query={day} lines={8}>
              {(today) => (
                <Card
                  horse={horse}
                  yard={itsYard}
                  day={today}
                  watches={items.filter((watch) => watch.horseId === horse.id)}
                  readAt={new Date(day.dataUpdatedAt).toISOString()}
                />
              )}
            </QueryView>
          )}
        </QueryView>
      )}
    </QueryView>
  );
};

/** One page to hang on the box door: whom to ring, what is to do, what to mind. */
export const DoorCardPage = () => {
  const { t } = useTranslation(["care", "common"]);
  const horse = useHorse(useParam("horseId"));
  return (
    <QueryView query={horse} lines={8}>
      {(data) => (
        <>
          <div className="no-print">
            <PageHeader
              title={t("door.of", { horse: data.name })}
              back={{ href: "/care", label: t("title") }}
              lead={t("door.lead")}
              actions={
                <Button icon={<Printer aria-hidden />} onClick={() => window.print()}>
                  {t("common:print")}
                </Button>
              }
            />
          </div>
          <Filled horse={data} />
        </>
      )}
    </QueryView>
  );
};
