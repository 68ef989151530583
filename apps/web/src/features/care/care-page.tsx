import type { CareDay } from "@heelward/contracts";
import { partOfDay } from "@heelward/domain/medication";
import { addDays } from "@heelward/domain/time";
import {
  ChevronLeft,
  ChevronRight,
  CircleCheck,
  CirclePause,
  ClipboardCheck,
  ClipboardList,
  Clock,
  DoorOpen,
  LifeBuoy,
  Pill,
  Printer,
  Wheat,
} from "lucide-react";
import { useTranslation } from "react-i18next";
import { useCurrent, useIsRole } from "../../app/current-session.tsx";
import { useSearchState } from "../../app/use-address.ts";
import { Badge } from "../../components/badges.tsx";
import { Button, ButtonLink, IconButton } from "../../components/button.tsx";
import { SelectField } from "../../components/field.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { todayIn, useFormat } from "../../language/format.ts";
import { wallClockOf } from "../../language/wall-clock.ts";
import { PrintStamp } from "../../parts/print-stamp.tsx";
import { DoseCard, isStopped, isToDo } from "./dose-card.tsx";
import { useCareDay, useYards } from "./queries.ts";
import { RingBar } from "./ring-bar.tsx";
import { WatchedFeet } from "./watched-feet.tsx";
import styles from "./care.module.css";

type Dose = CareDay["doses"][number];
type Part = ReturnType<typeof partOfDay>;

/** Doses by the clock, in runs of one part of the day: the small hours come first, late night last. */
const byPartOfDay = (doses: readonly Dose[], timeZone: string): readonly [Part, Dose[]][] => {
  const runs: [Part, Dose[]][] = [];
  for (const dose of doses.toSorted(
    (a, b) => Date.parse(a.scheduledAt) - Date.parse(b.scheduledAt),
  )) {
    const part = partOfDay(wallClockOf(dose.scheduledAt, timeZone).slice(11));
    const last = runs.at(-1);
    if (last?.[0] === part) last[1].push(dose);
    else runs.push([part, [dose]]);
  }
  return runs;
};

/** Every horse of the day once, by name. */
const horsesOf = ({ checks, doses, firstAid }: CareDay) =>
  [
    ...new Map([...checks, ...doses, ...firstAid].map(({ horse }) => [horse.id, horse])).values(),
  ].toSorted((a, b) => a.name.localeCompare(b.name));

const FirstAid = ({ sheets }: { readonly sheets: CareDay["firstAid"] }) => {
  const { t } = useTranslation("care");
  const open = sheets.filter((sheet) => sheet.open > 0);
  if (open.length === 0) return null;
  return (
    <section className="stack-tight" aria-label={t("firstAid")}>
      {open.map((sheet) => (
        <div key={sheet.sheetId} className={styles["firstAid"]}>
          <LifeBuoy aria-hidden />
          <div className="stack-tight">
            <h2>{t("firstAidOpen", { horse: sheet.horse.name })}</h2>
            <label>
              {t("firstAidDone", { done: sheet.total - sheet.open, all: sheet.total })}
              <progress
                className={styles["progress"]}
                value={sheet.total - sheet.open}
                max={sheet.total}
              />
            </label>
          </div>
          <ButtonLink href={`/first-aid-sheets/${sheet.sheetId}`} look="primary" size="large">
            {t("firstAidGo")}
          </ButtonLink>
        </div>
      ))}
    </section>
  );
};

const Checks = ({ checks }: { readonly checks: CareDay["checks"] }) => {
  const { t } = useTranslation("care");
  const format = useFormat();
  const mayCheck = useIsRole("carer", "vet");
  if (checks.length === 0) return null;
  return (
    <section className="stack-tight">
      <h2>{t("checks")}</h2>
      <ul className={styles["checks"]}>
        {checks.map((check) => (
          <li key={check.horse.id} className={styles["check"]}>
            <div>
              <div className="row">
                <span className={styles["horse"]}>{check.horse.name}</span>
                {check.due ? (
                  <Badge tone="today" icon={<Clock aria-hidden />}>
                    {t("checkDue")}
                  </Badge>
                ) : check.lastCheckAt === null ? null : (
                  <Badge tone="fine" icon={<CircleCheck aria-hidden />}>
                    {t("checkDone")}
                  </Badge>
                )}
              </div>
              <p className="quiet">
                {check.lastCheckAt === null
                  ? t("noCheck")
                  : t("lastCheck", { when: format.relative(check.lastCheckAt) })}
                {check.lastScore === null
                  ? null
                  : `, ${t("lastScore", { score: check.lastScore })}`}
              </p>
            </div>
            <div className={`${styles["checkActions"] ?? ""} no-print`}>
              <ButtonLink
                href={`/recovery/${check.horse.id}`}
                look="quiet"
                icon={<Wheat aria-hidden />}
              >
                {t("recovery")}
              </ButtonLink>
              <ButtonLink
                href={`/monitoring/${check.horse.id}`}
                look="quiet"
                icon={<ClipboardList aria-hidden />}
              >
                {t("tests")}
              </ButtonLink>
              <ButtonLink
                href={`/care/${check.horse.id}/door-card`}
                look="quiet"
                icon={<DoorOpen aria-hidden />}
              >
                {t("doorCard")}
              </ButtonLink>
              {mayCheck ? (
                <ButtonLink
                  href={`/care/${check.horse.id}/check`}
                  look={check.due ? "primary" : "plain"}
                  size="large"
                  icon={<ClipboardCheck aria-hidden />}
                >
                  {t(check.due || check.lastCheckAt === null ? "check" : "checkAgain")}
                </ButtonLink>
              ) : null}
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
};

const Doses = ({ day }: { readonly day: CareDay }) => {
  const { t } = useTranslation("care");
  const { session } = useCurrent();
  const left = day.doses.filter(isToDo).length;
  const stopped = day.doses.filter(isStopped).length;
  const groups = byPartOfDay(day.doses, session.practice.timeZone);
  if (day.doses.length === 0)
    return (
      <EmptyState icon={<Pill aria-hidden />} title={t("noDoses")}>
        {t("noDosesText")}
      </EmptyState>
    );
  return (
    <section className="stack">
      <div className="row">
        <h2>{t("doses")}</h2>
        <Badge
          tone={left === 0 ? "fine" : "today"}
          icon={left === 0 ? <CircleCheck aria-hidden /> : <Clock aria-hidden />}
        >
          {left === 0 ? t("allDone") : t("left", { count: left })}
        </Badge>
        {stopped === 0 ? null : (
          <Badge tone="now" icon={<CirclePause aria-hidden />}>
            {t("stoppedCount", { count: stopped })}
          </Badge>
        )}
      </div>
      {groups.map(([part, doses]) => (
        <div key={doses[0]?.scheduledAt ?? part} className="stack-tight">
          <h3 className={styles["part"]}>{t(`parts.${part}`)}</h3>
          <ul className={styles["doses"]}>
            {doses.map((dose) => (
              <DoseCard key={dose.courseId + dose.scheduledAt} dose={dose} phone={day.vetPhone} />
            ))}
          </ul>
        </div>
      ))}
    </section>
  );
};

/** The yard's day: the vet's number, first aid, horses to look at, doses by the clock. */
export const CarePage = () => {
  const { t } = useTranslation("care");
  const { session } = useCurrent();
  const { get, set } = useSearchState();
  const format = useFormat();
  const isOffice = useIsRole("vet", "manager");
  const yards = useYards(isOffice);
  const today = todayIn(session.practice.timeZone);
  const date = get("day") === "" ? today : get("day");
  const day = useCareDay(date, get("yard"));
  const go = (on: string) => set({ day: on === today ? "" : on });
  return (
    <div className={styles["page"]}>
      <RingBar
        phone={day.data?.vetPhone ?? null}
        horses={day.data === undefined ? [] : horsesOf(day.data)}
      />
      <PageHeader
        title={date === today ? t("title") : t("titleDay", { date: format.shortDate(date) })}
        lead={format.shortDate(date)}
        actions={
          <>
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
            <IconButton
              label={t("print")}
              icon={<Printer aria-hidden />}
              onClick={() => window.print()}
            />
          </>
        }
      />
      <div className="stack">
        {isOffice ? (
          <div className="no-print">
            <SelectField
              label={t("yard")}
              value={get("yard")}
              onChange={(yard) => set({ yard })}
              emptyLabel={t("allYards")}
              options={(yards.data?.items ?? []).map((yard) => ({
                value: yard.id,
                label: yard.name,
              }))}
            />
          </div>
        ) : null}
        <QueryView query={day} lines={8}>
          {(data) => (
            <div className={styles["day"]}>
              <FirstAid sheets={data.firstAid} />
              {date === today ? <WatchedFeet yardId={get("yard")} phone={data.vetPhone} /> : null}
              <Checks checks={data.checks} />
              <Doses day={data} />
              <div className={styles["printed"]}>
                <p>{t("paperCaution")}</p>
                <PrintStamp
                  version={t("stamp", {
                    date: format.date(date),
                    when: format.time(new Date(day.dataUpdatedAt).toISOString()),
                  })}
                />
              </div>
            </div>
          )}
        </QueryView>
      </div>
    </div>
  );
};
