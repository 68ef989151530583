import { useQuery } from "@tanstack/react-query";
import { useDeferredValue } from "react";
import { useTranslation } from "react-i18next";
import { read } from "../../api/use-call.ts";
import { Findings } from "../../components/findings.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./resets.module.css";

/** What the rules say of a day before it is booked, and how full that day gets. */
export const BookingCheck = ({
  resetId,
  bookedFor,
  farrierId,
  minutes,
}: {
  readonly resetId: string;
  readonly bookedFor: string;
  readonly farrierId: string;
  readonly minutes: number | undefined;
}) => {
  const { t } = useTranslation("resets");
  const format = useFormat();
  const asked = useDeferredValue(bookedFor);
  const check = useQuery({
    ...read("checkBooking", {
      params: { resetId },
      body: {
        bookedFor: asked,
        ...(farrierId === "" ? {} : { farrierId }),
        ...(minutes === undefined ? {} : { minutes }),
      },
    }),
    enabled: asked !== "",
    retry: false,
  });
  if (check.data === undefined) return null;
  const { findings, dayMinutes, dayLengthMinutes } = check.data;
  const hours = (count: number) => format.number(count / 60, 1);
  const isOver = dayLengthMinutes !== null && dayMinutes > dayLengthMinutes;
  return (
    <div className="stack-tight" aria-live="polite">
      <Findings findings={findings} hidePasses />
      <p className={isOver || dayLengthMinutes === null ? styles["near"] : "quiet small"}>
        {dayLengthMinutes === null
          ? t("noWorkingDay")
          : t(isOver ? "dayOver" : "dayLoad", {
              work: hours(dayMinutes),
              length: hours(dayLengthMinutes),
            })}
      </p>
    </div>
  );
};
