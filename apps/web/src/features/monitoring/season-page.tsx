import type { MonitoringTaskView } from "@heelward/contracts";
import { Leaf } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useSearchState } from "../../app/use-address.ts";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { TextField } from "../../components/field.tsx";
import { SourceNote } from "../../components/findings.tsx";
import { Link } from "../../components/link.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { useSeason } from "./queries.ts";
import { TaskState } from "./task-line.tsx";
import styles from "./monitoring.module.css";

type Group = readonly [MonitoringTaskView, ...MonitoringTaskView[]];

/** Tasks that ask for the same, together: one text for many horses. */
const groupsOf = (tasks: readonly MonitoringTaskView[]): readonly Group[] =>
  [...new Set(tasks.map((task) => task.title))].flatMap((title): readonly Group[] => {
    const [first, ...rest] = tasks.filter((task) => task.title === title);
    return first === undefined ? [] : [[first, ...rest]];
  });

/** What the season asks for on a day, horse by horse: autumn hormones, spring grass, frost. */
export const SeasonPage = () => {
  const { t } = useTranslation("monitoring");
  const format = useFormat();
  const { get, set } = useSearchState();
  const season = useSeason(get("on"));
  return (
    <>
      <PageHeader title={t("season.title")} lead={t("season.lead")} />
      <QueryView query={season} lines={6}>
        {(data) => {
          const opensOn = data.nextHormoneSeasonOn;
          return (
            <div className="stack">
              <div className={styles["bar"]}>
                <TextField
                  label={t("season.on")}
                  type="date"
                  value={get("on") === "" ? data.on : get("on")}
                  onChange={(on) => set({ on })}
                />
                {opensOn === null ? null : (
                  <Button look="quiet" onClick={() => set({ on: opensOn })}>
                    {t("season.next", { date: format.date(opensOn) })}
                  </Button>
                )}
                {get("on") === "" ? null : (
                  <Button look="quiet" onClick={() => set({ on: "" })}>
                    {t("season.today")}
                  </Button>
                )}
              </div>
              {data.items.length === 0 ? (
                <EmptyState icon={<Leaf aria-hidden />} title={t("season.none")}>
                  {t("season.noneText")}
                </EmptyState>
              ) : (
                groupsOf(data.items).map(([first, ...rest]) => (
                  <Card
                    key={first.title}
                    title={`${first.title}, ${t("season.horses", { count: rest.length + 1 })}`}
                  >
                    <div className="stack">
                      <div className="stack-tight">
                        <p>{first.why}</p>
                        <p className="quiet small">
                          {t("dueOn", { date: format.date(first.dueOn) })}
                        </p>
                        <SourceNote source={first.source} />
                      </div>
                      <ul className={styles["horses"]}>
                        {[first, ...rest].map((task) => (
                          <li key={task.horse.id}>
                            <Link href={`/monitoring/${task.horse.id}`}>{task.horse.name}</Link>
                            <TaskState state={task.state} />
                          </li>
                        ))}
                      </ul>
                    </div>
                  </Card>
                ))
              )}
            </div>
          );
        }}
      </QueryView>
    </>
  );
};
