import { ArrowRightLeft, Film, Lightbulb } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Badge } from "../../components/badges.tsx";
import { Card } from "../../components/card.tsx";
import { CheckField } from "../../components/field.tsx";
import { Link } from "../../components/link.tsx";
import { useFormat } from "../../language/format.ts";
import type { FarrierDay } from "./choices.ts";
import type { PlanChoice } from "./queries.ts";
import styles from "./planning.module.css";

const Choice = ({
  choice,
  isChosen,
  onToggle,
}: {
  readonly choice: PlanChoice;
  readonly isChosen: boolean;
  readonly onToggle: (isOn: boolean) => void;
}) => {
  const { t } = useTranslation("planning");
  const format = useFormat();
  return (
    <li className={styles["choice"]}>
      <CheckField
        label={<span className="only-read">{t("choose", { horse: choice.horse.name })}</span>}
        value={isChosen}
        onChange={onToggle}
      />
      <div className="stack-tight">
        <div className={styles["head"]}>
          <strong className={styles["time"]}>{format.time(choice.startAt)}</strong>
          <Link href={`/resets/${choice.resetId}`}>
            <strong>{choice.horse.name}</strong>
          </Link>
          <span className="quiet">
            {choice.yard.name} · {t("minutes", { count: choice.minutes })}
          </span>
          {choice.lateDays > 0 ? (
            <Badge tone="today">{t("lateBy", { count: choice.lateDays })}</Badge>
          ) : null}
          {choice.movedPromise ? (
            <Badge icon={<ArrowRightLeft aria-hidden />}>{t("moved")}</Badge>
          ) : null}
        </div>
        <p className="small">{choice.why}</p>
        {choice.wouldImprove === null ? null : (
          <p className={styles["helps"]}>
            <Lightbulb aria-hidden />
            <span>
              {t("helps")}: {choice.wouldImprove}
            </span>
          </p>
        )}
        {choice.filmNeeded === null ? null : (
          <p className={styles["helps"]}>
            <Film aria-hidden />
            <span>
              {t("film")}: {choice.filmNeeded}
            </span>
          </p>
        )}
      </div>
    </li>
  );
};

/** One farrier's day as the plan has it. */
export const DayCard = ({
  day,
  chosen,
  onToggle,
}: {
  readonly day: FarrierDay;
  readonly chosen: ReadonlySet<string>;
  readonly onToggle: (ids: readonly string[], isOn: boolean) => void;
}) => {
  const { t } = useTranslation("planning");
  const format = useFormat();
  const ids = day.choices.map((one) => one.resetId);
  const minutes = day.choices.reduce((sum, one) => sum + one.minutes, 0);
  return (
    <Card
      level={3}
      title={
        <>
          {day.farrier.name}{" "}
          <span className="quiet small">
            {t("work", { hours: format.number(minutes / 60, 1) })}
          </span>
        </>
      }
      actions={
        <CheckField
          label={t("chooseDay")}
          value={ids.every((id) => chosen.has(id))}
          onChange={(isOn) => onToggle(ids, isOn)}
        />
      }
    >
      <ol className={styles["choices"]}>
        {day.choices.map((choice) => (
          <Choice
            key={choice.resetId}
            choice={choice}
            isChosen={chosen.has(choice.resetId)}
            onToggle={(isOn) => onToggle([choice.resetId], isOn)}
          />
        ))}
      </ol>
    </Card>
  );
};
