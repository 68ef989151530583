import type { MonitoringTaskView } from "@heelward/contracts";
import {
  CircleCheck,
  CircleSlash,
  Clock,
  Footprints,
  Hourglass,
  Leaf,
  Lightbulb,
  Ruler,
  Scale,
  Syringe,
  TriangleAlert,
} from "lucide-react";
import type { ReactNode } from "react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../components/badges.tsx";
import { SourceNote } from "../../components/findings.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./monitoring.module.css";

const KINDS = {
  blood: Syringe,
  weigh: Scale,
  condition: Ruler,
  watch: Footprints,
  season: Leaf,
  rethink: Lightbulb,
} as const;
const STATES = {
  late: ["now", TriangleAlert],
  due: ["today", Clock],
  later: ["plain", Hourglass],
  done: ["fine", CircleCheck],
  waived: ["plain", CircleSlash],
  lapsed: ["plain", CircleSlash],
} as const;

/** How a task stands, in a word. */
export const TaskState = ({ state }: { readonly state: MonitoringTaskView["state"] }) => {
  const { t } = useTranslation("monitoring");
  const [tone, Icon] = STATES[state];
  return (
    <Badge tone={tone} icon={<Icon aria-hidden />}>
      {t(`states.${state}`)}
    </Badge>
  );
};

/** One test, weighing or check: what, why, by when, how it stands. */
export const TaskLine = ({
  task,
  actions,
}: {
  readonly task: MonitoringTaskView;
  readonly actions?: ReactNode;
}) => {
  const { t } = useTranslation(["monitoring", "laboratory"]);
  const format = useFormat();
  const Kind = KINDS[task.kind];
  const testName = (test: string) =>
    t(`laboratory:tests.${test as "insulin"}`, { defaultValue: test });
  return (
    <li className={styles["task"]}>
      <Kind aria-hidden className={styles["kind"]} />
      <div className="stack-tight">
        <div className="row">
          <strong>{task.title}</strong>
          <TaskState state={task.state} />
        </div>
        <p>{task.why}</p>
        <p className="quiet small">
          {[
            task.state === "done" && task.doneOn !== null
              ? t("doneOn", { date: format.date(task.doneOn) })
              : task.state === "later"
                ? t("opensOn", {
                    date: format.date(task.opensOn),
                    due: format.date(task.dueOn),
                  })
                : t("dueOn", { date: format.date(task.dueOn) }),
            ...(task.missing.length > 0 && task.missing.length < task.tests.length
              ? [t("missing", { tests: format.list(task.missing.map(testName)) })]
              : []),
          ].join(" · ")}
        </p>
        {task.waivedBecause === null ? null : (
          <p>{t("waivedBecause", { reason: task.waivedBecause })}</p>
        )}
        {task.lapsedBecause === null ? null : <p>{task.lapsedBecause}</p>}
        <SourceNote source={task.source} />
      </div>
      {actions === undefined ? null : <div className={styles["actions"]}>{actions}</div>}
    </li>
  );
};
