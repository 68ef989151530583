import type { Reset } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { PhasePill } from "../../components/badges.tsx";
import { type Column, Rows } from "../../components/data-list.tsx";
import { Link } from "../../components/link.tsx";
import { useFormat } from "../../language/format.ts";
import { BreakoverGauge } from "./breakover-gauge.tsx";
import { ResetActions } from "./reset-actions.tsx";
import { ResetState } from "./reset-state.tsx";
import { WindowBar } from "./window-bar.tsx";
import styles from "./resets.module.css";

/** What the badge already says. */
const SAID = /^(due in|due today|due on|\d+ days? late)/;

/** Which resets are chosen for booking together. */
export interface Choosing {
  readonly ids: ReadonlySet<string>;
  readonly toggle: (id: string) => void;
}

const HorseCell = ({ reset, choosing }: { readonly reset: Reset; readonly choosing: Choosing }) => {
  const { t } = useTranslation("resets");
  const why = reset.reasons.filter((reason) => !SAID.test(reason)).join("; ");
  return (
    <div className={styles["horse"]}>
      <span className={styles["chooseRow"]}>
        {reset.state === "paused" ? null : (
          <input
            type="checkbox"
            className={styles["chooseBox"]}
            aria-label={t("choose", { horse: reset.horse.name })}
            checked={choosing.ids.has(reset.id)}
            onChange={() => choosing.toggle(reset.id)}
          />
        )}
        <Link href={`/resets/${reset.id}`} className={styles["name"]}>
          {reset.horse.name}
        </Link>
      </span>
      <span className="quiet small">
        {reset.yard.name}
        {reset.phase === null ? null : (
          <>
            {" "}
            <PhasePill phase={reset.phase} />
          </>
        )}
      </span>
      <ResetState reset={reset} />
      {reset.state === "paused" ? (
        <span className="small">{reset.pausedReason}</span>
      ) : why === "" ? null : (
        <span className="small">{why}</span>
      )}
      {reset.filmNeeded === null ? null : (
        <span className="small">
          <strong>{t("film")}:</strong> {reset.filmNeeded}
        </span>
      )}
    </div>
  );
};

const WindowCell = ({ reset }: { readonly reset: Reset }) => {
  const { t } = useTranslation("resets");
  const format = useFormat();
  return (
    <div>
      <WindowBar reset={reset} />
      <dl className={styles["days"]}>
        <div>
          <dt>{t("due")}</dt>
          <dd>{format.shortDate(reset.dueOn)}</dd>
        </div>
        {reset.bookBy === reset.dueOn ? null : (
          <div>
            <dt>{t("bookBy")}</dt>
            <dd>{format.shortDate(reset.bookBy)}</dd>
          </div>
        )}
        <div>
          <dt>{t("ceiling")}</dt>
          <dd>{format.shortDate(reset.ceilingOn)}</dd>
        </div>
      </dl>
    </div>
  );
};

const MoveCell = ({ reset }: { readonly reset: Reset }) => {
  const { t } = useTranslation("resets");
  const format = useFormat(reset.yard.timeZone);
  const { person, action } = reset.whoseMove;
  return (
    <div className={styles["move"]}>
      {reset.bookedFor === null ? null : (
        <div>
          <strong>{format.shortDateTime(reset.bookedFor)}</strong>
          {reset.job === null ? null : <div className="small">{reset.job}</div>}
        </div>
      )}
      <strong>{person}</strong>: {t(`moves.${action as "book"}`, { defaultValue: action })}
      {reset.farrier === null || reset.farrier.name === person ? null : (
        <div className="quiet small">
          {t("farrier")}: {reset.farrier.name}
        </div>
      )}
    </div>
  );
};

const TriedCell = ({ reset }: { readonly reset: Reset }) => {
  const { t } = useTranslation("resets");
  const format = useFormat(reset.yard.timeZone);
  const [last, ...rest] = reset.attempts;
  const answer = reset.ownerAnswer;
  if (last === undefined) return <span className="quiet small">{t("nothingTried")}</span>;
  return (
    <div className={styles["tried"]}>
      <strong>{t(`kinds.${last.kind}`)}</strong>{" "}
      <span className="quiet">
        {format.relative(last.at)}, {last.madeBy.name}
      </span>
      <p className={styles["detail"]}>{last.detail}</p>
      {answer === null ? null : (
        <p>
          <strong>{t("ownerSays", { answer: t(`answers.${answer}`) })}</strong>
        </p>
      )}
      {rest.length === 0 ? null : (
        <Link href={`/resets/${reset.id}`}>{t("more", { count: rest.length })}</Link>
      )}
    </div>
  );
};

/** Every reset against its window: a table on a desk, cards on a phone. */
export const BoardTable = ({
  resets,
  choosing,
}: {
  readonly resets: readonly Reset[];
  readonly choosing: Choosing;
}) => {
  const { t } = useTranslation("resets");
  const columns: readonly Column<Reset>[] = [
    {
      key: "horse",
      label: t("horse"),
      hideLabelOnPhone: true,
      cell: (reset) => <HorseCell reset={reset} choosing={choosing} />,
    },
    {
      key: "window",
      label: t("window"),
      hideLabelOnPhone: true,
      cell: (reset) => <WindowCell reset={reset} />,
    },
    {
      key: "breakover",
      label: t("breakover"),
      cell: (reset) => (
        <BreakoverGauge nowMm={reset.breakoverNowMm} limitMm={reset.breakoverLimitMm} />
      ),
    },
    { key: "move", label: t("move"), cell: (reset) => <MoveCell reset={reset} /> },
    { key: "tried", label: t("slipped"), cell: (reset) => <TriedCell reset={reset} /> },
    {
      key: "actions",
      label: t("actions"),
      hideLabelOnPhone: true,
      cell: (reset) => <ResetActions reset={reset} isShort />,
    },
  ];
  return (
    <div className={styles["board"]}>
      <Rows label={t("title")} rows={resets} columns={columns} keyOf={(reset) => reset.id} />
    </div>
  );
};
