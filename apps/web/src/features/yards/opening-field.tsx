import type { Yard } from "@heelward/contracts";
import { Plus, Trash2 } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Button, IconButton } from "../../components/button.tsx";
import { SelectField, TextField } from "../../components/field.tsx";
import { useFormat } from "../../language/format.ts";
import { weekdayNames } from "../../language/weekdays.ts";

type Window = Yard["opening"][number];

/** The hours in which a yard can be visited, by weekday on the yard's own clock. */
export const OpeningField = ({
  value,
  onChange,
}: {
  readonly value: readonly Window[];
  readonly onChange: (windows: readonly Window[]) => void;
}) => {
  const { t } = useTranslation("yards");
  const days = weekdayNames(useFormat().locale);
  const replace = (index: number, change: Partial<Window>) =>
    onChange(value.map((one, at) => (at === index ? { ...one, ...change } : one)));
  const last = value.at(-1);
  return (
    <fieldset className="stack-tight" style={{ border: 0, margin: 0, padding: 0 }}>
      <legend>
        <strong>{t("opening")}</strong>
      </legend>
      {value.length === 0 ? <p className="quiet">{t("always")}</p> : null}
      {value.map((one, index) => (
        <div key={index} className="row" style={{ alignItems: "end" }}>
          <SelectField
            label={t("day")}
            name={`opening/${String(index)}/weekday`}
            value={String(one.weekday)}
            onChange={(weekday) => replace(index, { weekday: Number(weekday) })}
            options={days.map((label, at) => ({ value: String(at + 1), label }))}
          />
          <TextField
            label={t("opens")}
            name={`opening/${String(index)}/opens`}
            type="time"
            required
            value={one.opens}
            onChange={(opens) => replace(index, { opens })}
          />
          <TextField
            label={t("closes")}
            name={`opening/${String(index)}/closes`}
            type="time"
            required
            value={one.closes}
            onChange={(closes) => replace(index, { closes })}
          />
          <IconButton
            label={t("removeWindow", {
              day: days[one.weekday - 1],
              from: one.opens,
              to: one.closes,
            })}
            icon={<Trash2 aria-hidden />}
            onClick={() => onChange(value.filter((_, at) => at !== index))}
          />
        </div>
      ))}
      <div>
        <Button
          icon={<Plus aria-hidden />}
          onClick={() =>
            onChange([
              ...value,
              {
                weekday: ((last?.weekday ?? 0) % 7) + 1,
                opens: last?.opens ?? "08:00",
                closes: last?.closes ?? "18:00",
              },
            ])
          }
        >
          {t("addWindow")}
        </Button>
      </div>
    </fieldset>
  );
};
