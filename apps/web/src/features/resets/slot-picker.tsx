import { useQuery } from "@tanstack/react-query";
import { CalendarClock } from "lucide-react";
import { useTranslation } from "react-i18next";
import { read } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./resets.module.css";

const SHOWN = 6;

/** Days and times that fit the reset's limits and a farrier's day; one tap takes one. */
export const SlotPicker = ({
  resetId,
  farrierId,
  timeZone,
  value,
  onChoose,
}: {
  readonly resetId: string;
  readonly farrierId: string;
  readonly timeZone: string;
  readonly value: string;
  readonly onChoose: (startAt: string, farrierId: string) => void;
}) => {
  const { t } = useTranslation("resets");
  const format = useFormat(timeZone);
  const slots = useQuery(
    read("listSlots", {
      params: { resetId },
      query: farrierId === "" ? {} : { farrierId },
    }),
  );
  if (slots.data === undefined) return null;
  const shown = slots.data.items.slice(0, SHOWN);
  return (
    <fieldset className={styles["slots"]}>
      <legend>{t("slots")}</legend>
      {shown.length === 0 ? (
        <p className="quiet">{t("noSlots", { date: format.shortDate(slots.data.lastDayOn) })}</p>
      ) : (
        <div className="row">
          {shown.map((slot) => (
            <Button
              key={slot.startAt + slot.farrier.id}
              icon={<CalendarClock aria-hidden />}
              aria-pressed={Date.parse(value) === Date.parse(slot.startAt)}
              title={slot.note}
              onClick={() => onChoose(slot.startAt, slot.farrier.id)}
            >
              {format.shortDateTime(slot.startAt)}
              {farrierId === "" ? `, ${slot.farrier.name}` : null}
            </Button>
          ))}
        </div>
      )}
    </fieldset>
  );
};
