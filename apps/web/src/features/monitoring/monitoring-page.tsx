import type { Horse, MonitoringTaskView } from "@heelward/contracts";
import { CircleCheck, ClipboardCheck, FlaskConical, Plus, Scale } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useIsRole } from "../../app/current-session.tsx";
import { useParam } from "../../app/use-address.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { lazyPart } from "../../components/lazy-part.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useHorse, useTasks } from "./queries.ts";
import { TaskLine } from "./task-line.tsx";
import styles from "./monitoring.module.css";

const AddResultDialog = lazyPart(() =>
  import("../../parts/add-result-dialog.tsx").then((m) => m.AddResultDialog),
);
const WaiveDialog = lazyPart(() => import("./waive-dialog.tsx").then((m) => m.WaiveDialog));

/** Of tasks that come again and again the next one, with how many follow it. */
const nextOfEach = (
  tasks: readonly MonitoringTaskView[],
): readonly { readonly task: MonitoringTaskView; readonly more: number }[] => {
  const nameOf = (task: MonitoringTaskView) => `${task.title} ${task.why}`;
  return tasks
    .filter((task, index) => tasks.findIndex((one) => nameOf(one) === nameOf(task)) === index)
    .map((task) => ({
      task,
      more: tasks.filter((one) => nameOf(one) === nameOf(task)).length - 1,
    }));
};

const TaskActions = ({
  task,
  horse,
}: {
  readonly task: MonitoringTaskView;
  readonly horse: Horse;
}) => {
  const { t } = useTranslation("monitoring");
  const isVet = useIsRole("vet");
  const mayEnter = useIsRole("vet", "manager");
  const mayCheck = useIsRole("vet", "carer");
  const [open, setOpen] = useState<"result" | "waive">();
  const close = () => setOpen(undefined);
  return (
    <>
      {open === "result" ? (
        <AddResultDialog horse={horse} test={task.missing[0]} onClose={close} />
      ) : null}
      {open === "waive" ? <WaiveDialog task={task} onClose={close} /> : null}
      {task.kind === "blood" && mayEnter ? (
        <Button
          look="primary"
          icon={<FlaskConical aria-hidden />}
          onClick={() => setOpen("result")}
        >
          {t("enter")}
        </Button>
      ) : null}
      {task.kind === "weigh" ? (
        <ButtonLink look="primary" icon={<Scale aria-hidden />} href={`/horses/${horse.id}`}>
          {t("weigh")}
        </ButtonLink>
      ) : null}
      {(task.kind === "condition" || task.kind === "watch") && mayCheck ? (
        <ButtonLink
          look="primary"
          icon={<ClipboardCheck aria-hidden />}
          href={
            task.kind === "watch" || horse.openCaseId === null
              ? `/care/${horse.id}/check`
              : `/cases/${horse.openCaseId}/examine`
          }
        >
          {t(task.kind === "watch" ? "check" : "score")}
        </ButtonLink>
      ) : null}
      {task.kind === "rethink" && horse.openCaseId !== null ? (
        <ButtonLink look="primary" href={`/recovery/${horse.id}?tab=healing`}>
          {t("curve")}
        </ButtonLink>
      ) : null}
      {isVet ? (
        <Button look="quiet" onClick={() => setOpen("waive")}>
          {t("waive")}
        </Button>
      ) : null}
    </>
  );
};

const Shown = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation("monitoring");
  const tasks = useTasks(horse.id);
  const isVet = useIsRole("vet");
  const mayEnter = useIsRole("vet", "manager");
  const [isOpen, setOpen] = useState(false);
  return (
    <>
      <PageHeader
        title={t("title", { horse: horse.name })}
        back={{
          href: horse.openCaseId === null ? `/horses/${horse.id}` : `/cases/${horse.openCaseId}`,
          label: horse.name,
        }}
        lead={t("lead")}
        actions={
          <>
            {isVet ? (
              <ButtonLink href={`/laboratory/${horse.id}`} icon={<FlaskConical aria-hidden />}>
                {t("results")}
              </ButtonLink>
            ) : null}
            {mayEnter ? (
              <Button icon={<Plus aria-hidden />} onClick={() => setOpen(true)}>
                {t("enterOther")}
              </Button>
            ) : null}
          </>
        }
      />
      {isOpen ? <AddResultDialog horse={horse} onClose={() => setOpen(false)} /> : null}
      <QueryView query={tasks} lines={6}>
        {({ items }) => {
          const open = items.filter((one) => one.state === "late" || one.state === "due");
          const later = nextOfEach(items.filter((one) => one.state === "later"));
          const past = items
            .filter((one) => ["done", "waived", "lapsed"].includes(one.state))
            .toReversed();
          return (
            <div className="stack">
              {open.length === 0 ? (
                <EmptyState icon={<CircleCheck aria-hidden />} title={t("nothing")}>
                  {t("nothingText")}
                </EmptyState>
              ) : (
                <Card title={t("open")} isFlush>
                  <ul className={styles["tasks"]}>
                    {open.map((task) => (
                      <TaskLine
                        key={task.key}
                        task={task}
                        actions={<TaskActions task={task} horse={horse} />}
                      />
                    ))}
                  </ul>
                </Card>
              )}
              {later.length === 0 ? null : (
                <Card title={t("later")} isFlush>
                  <ul className={styles["tasks"]}>
                    {later.map(({ task, more }) => (
                      <TaskLine
                        key={task.key}
                        task={task}
                        {...(more === 0
                          ? {}
                          : {
                              actions: (
                                <span className="quiet small">{t("more", { count: more })}</span>
                              ),
                            })}
                      />
                    ))}
                  </ul>
                </Card>
              )}
              {past.length === 0 ? null : (
                <details className={styles["past"]}>
                  <summary>{t("past", { count: past.length })}</summary>
                  <ul className={styles["tasks"]}>
                    {past.map((task) => (
                      <TaskLine key={task.key} task={task} />
                    ))}
                  </ul>
                </details>
              )}
            </div>
          );
        }}
      </QueryView>
    </>
  );
};

/** Tests, weighings and checks of one horse: what is due and why, what comes, what was done. */
export const MonitoringPage = () => {
  const horse = useHorse(useParam("horseId"));
  return (
    <QueryView query={horse} lines={8}>
      {(data) => <Shown horse={data} />}
    </QueryView>
  );
};
