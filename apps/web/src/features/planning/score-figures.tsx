import { useTranslation } from "react-i18next";
import { useFormat } from "../../language/format.ts";
import type { Result } from "./queries.ts";
import styles from "./planning.module.css";

/** The five figures a plan is judged by, the weightiest first. */
export const ScoreFigures = ({
  score,
  bound,
}: {
  readonly score: Result["score"];
  /** What no plan can beat, once it is known. */
  readonly bound?: { readonly latePoints: number; readonly driveSeconds: number } | undefined;
}) => {
  const { t } = useTranslation("planning");
  const format = useFormat();
  const hours = (seconds: number) => t("hours", { hours: format.number(seconds / 3600, 1) });
  const isProven = bound !== undefined && score.latePoints <= bound.latePoints + 1e-6;
  const items = [
    [
      t("figures.late"),
      format.number(score.latePoints, 0),
      bound === undefined
        ? t("figures.lateHint")
        : isProven
          ? t("proven")
          : t("bound", { bound: format.number(bound.latePoints, 0) }),
    ],
    [t("figures.unplaced"), String(score.unplaced), ""],
    [t("figures.moved"), String(score.movedPromises), ""],
    [
      t("figures.driving"),
      hours(score.driveSeconds),
      bound === undefined
        ? ""
        : t("driveBound", { hours: format.number(bound.driveSeconds / 3600, 1) }),
    ],
    [t("figures.days"), String(score.daysUsed), ""],
  ] as const;
  return (
    <dl className={styles["figures"]}>
      {items.map(([label, value, hint]) => (
        <div key={label}>
          <dt>{label}</dt>
          <dd className={styles["figure"]}>{value}</dd>
          {hint === "" ? null : <dd className="quiet small">{hint}</dd>}
        </div>
      ))}
    </dl>
  );
};
