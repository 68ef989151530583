import type { BoardRow } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { PhasePill, UrgencyBadge } from "../../components/badges.tsx";
import { ButtonLink } from "../../components/button.tsx";
import { classNames } from "../../components/class-names.ts";
import { Link } from "../../components/link.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./morning.module.css";

const Score = ({ score }: { readonly score: NonNullable<BoardRow["score"]> }) => {
  const { t } = useTranslation("morning");
  const { before, now } = score;
  if (before === null) return <p className={styles["score"]}>{t("score", { now })}</p>;
  const way = now > before ? "scoreUp" : now < before ? "scoreDown" : "scoreSame";
  return (
    <p className={classNames(styles["score"], now > before && styles["worse"])}>
      {t("scoreChange", { before, now })}, {t(way)}
    </p>
  );
};

const Changes = ({ row }: { readonly row: BoardRow }) => {
  const { t } = useTranslation("morning");
  const format = useFormat();
  const more = row.changeCount - row.changes.length;
  return (
    <div className={styles["changes"]}>
      <p className="quiet small">
        {row.lastVisitAt === null
          ? t("neverSeen")
          : t("lastVisit", { when: format.relative(row.lastVisitAt) })}
      </p>
      {row.score === null ? null : <Score score={row.score} />}
      {row.changes.length === 0 ? <p>{t("noChange")}</p> : null}
      <ul>
        {row.changes.map((one) => (
          <li key={one.at + one.title} title={one.detail ?? undefined}>
            {one.title} <span className="quiet small">{format.shortDateTime(one.at)}</span>
          </li>
        ))}
      </ul>
      {more === 0 ? null : (
        <Link className="small" href={`/cases/${row.caseId}?tab=timeline`}>
          {t("moreChanges", { count: more })}
        </Link>
      )}
    </div>
  );
};

/** One case: the horse, what is new since a vet saw it, and the next decision with its one action. */
export const BoardLine = ({ row }: { readonly row: BoardRow }) => {
  const { t } = useTranslation("morning");
  const { next } = row;
  return (
    <li
      className={classNames(
        styles["line"],
        row.urgency === null || row.urgency === "later" ? undefined : styles[row.urgency],
      )}
    >
      <div className={styles["who"]}>
        <h2 className={styles["horse"]}>
          <Link href={`/cases/${row.caseId}`}>{row.horse.name}</Link>
        </h2>
        <p className="quiet small">{row.yard}</p>
        <PhasePill phase={row.phase} />
      </div>
      <Changes row={row} />
      <div className={styles["next"]}>
        {next === null || row.urgency === null ? (
          <p className="quiet">{t("nothingWaits")}</p>
        ) : (
          <>
            <p className="row">
              <UrgencyBadge urgency={row.urgency} />
              <strong>{next.title}</strong>
            </p>
            <p className={styles["reason"]}>{next.reason}</p>
            {row.waiting < 2 ? null : (
              <p className="quiet small">{t("moreWaiting", { count: row.waiting - 1 })}</p>
            )}
          </>
        )}
      </div>
      {next === null ? null : (
        <div className={styles["act"]}>
          <ButtonLink
            href={next.nextAction.href}
            look={row.urgency === "now" ? "primary" : "plain"}
            isWide
          >
            {next.nextAction.label}
          </ButtonLink>
        </div>
      )}
    </li>
  );
};
