import type { Reset } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { linear } from "../../components/chart-scale.ts";
import { daysBetweenDates, todayIn, useFormat } from "../../language/format.ts";
import styles from "./resets.module.css";

const WIDTH = 220;
const HEIGHT = 34;
const EDGE = 6;

/**
 * The cycle as a strip: from the last trim to the ceiling, the open window shaded, the due day, the
 * latest safe day, the booking and today. The same days stand beside it in words.
 */
export const WindowBar = ({
  reset,
  isLarge = false,
}: {
  readonly reset: Reset;
  readonly isLarge?: boolean;
}) => {
  const { t } = useTranslation("resets");
  const format = useFormat(reset.yard.timeZone);
  const today = todayIn(reset.yard.timeZone);
  const day = (on: string) => daysBetweenDates(reset.lastDoneOn, on);
  const end =
    Math.max(day(reset.ceilingOn), day(reset.dueOn), Math.min(day(today), day(reset.dueOn) + 21)) +
    2;
  const x = linear(0, end, EDGE, WIDTH - EDGE);
  const at = (on: string) => x(Math.min(end, Math.max(0, day(on))));
  const bookedOn =
    reset.bookedFor === null ? null : todayIn(reset.yard.timeZone, new Date(reset.bookedFor));
  return (
    <svg
      className={isLarge ? styles["barLarge"] : styles["bar"]}
      viewBox={`0 0 ${String(WIDTH)} ${String(HEIGHT)}`}
      role="img"
      aria-label={t("windowText", {
        last: format.shortDate(reset.lastDoneOn),
        due: format.shortDate(reset.dueOn),
        bookBy: format.shortDate(reset.bookBy),
        ceiling: format.shortDate(reset.ceilingOn),
      })}
    >
      <rect
        className={styles["track"]}
        x={EDGE}
        y="15"
        width={WIDTH - 2 * EDGE}
        height="8"
        rx="4"
      />
      <rect
        className={styles["open"]}
        x={at(reset.opensOn)}
        y="15"
        width={Math.max(0, at(reset.dueOn) - at(reset.opensOn))}
        height="8"
      />
      {at(today) > at(reset.dueOn) ? (
        <rect
          className={styles["overdue"]}
          x={at(reset.dueOn)}
          y="15"
          width={at(today) - at(reset.dueOn)}
          height="8"
        />
      ) : null}
      <line
        className={styles["ceiling"]}
        x1={at(reset.ceilingOn)}
        x2={at(reset.ceilingOn)}
        y1="11"
        y2="27"
      />
      <line
        className={styles["dueMark"]}
        x1={at(reset.dueOn)}
        x2={at(reset.dueOn)}
        y1="11"
        y2="27"
      />
      {reset.latestSafeOn === null ? null : (
        <path className={styles["safeMark"]} d={`M${String(at(reset.latestSafeOn))} 26l4 7h-8z`} />
      )}
      {bookedOn === null ? null : (
        <rect
          className={styles["bookedMark"]}
          x={at(bookedOn) - 4}
          y="15"
          width="8"
          height="8"
          rx="1.5"
          transform={`rotate(45 ${String(at(bookedOn))} 19)`}
        />
      )}
      <path className={styles["todayMark"]} d={`M${String(at(today))} 14l-4.5 -8h9z`} />
    </svg>
  );
};
