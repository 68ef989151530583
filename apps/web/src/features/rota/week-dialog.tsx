import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import {
  CheckField,
  ManyField,
  NumberField,
  TextArea,
  TextField,
} from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { typedNumber, useDraft } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { weekdayNames } from "../../language/weekdays.ts";
import { useYards } from "../../parts/yards.ts";
import type { Week } from "./queries.ts";
import styles from "./rota.module.css";

const USUAL = { starts: "08:00", ends: "17:00" };
const USUAL_LUNCH = { from: "12:00", until: "13:30", minutes: "30" };

/** Sets a person's hours, break, skills, yards and starting place. */
export const WeekDialog = ({
  week,
  onClose,
}: {
  readonly week: Week;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["rota", "common"]);
  const save = useWrite("setWorkingWeek");
  const yards = useYards();
  const days = weekdayNames(useFormat().locale);
  const [hours, setHours] = useState(() =>
    days.map((_, index) => {
      const found = week.hours.find((one) => one.weekday === index + 1);
      return { isOn: found !== undefined, ...(found ?? USUAL) };
    }),
  );
  const [draft, set] = useDraft(() => ({
    hasLunch: week.lunch !== null,
    lunchFrom: week.lunch?.from ?? USUAL_LUNCH.from,
    lunchUntil: week.lunch?.until ?? USUAL_LUNCH.until,
    lunchMinutes: String(week.lunch?.minutes ?? USUAL_LUNCH.minutes),
    skills: week.skills.join("\n"),
    yardIds: [...week.yardIds] as readonly string[],
    hasHome: week.home !== null,
    lat: String(week.home?.lat ?? ""),
    lon: String(week.home?.lon ?? ""),
  }));
  const change = (index: number, part: Partial<(typeof hours)[number]>) =>
    setHours(hours.map((one, at) => (at === index ? { ...one, ...part } : one)));
  return (
    <Dialog title={t("editTitle", { name: week.person.name })} isOpen onClose={onClose} isWide>
      <Form
        problem={save.error}
        onSubmit={() =>
          save.mutate(
            {
              params: { personId: week.person.id },
              ifMatch: week.version,
              body: {
                hours: hours.flatMap(({ isOn, starts, ends }, index) =>
                  isOn ? [{ weekday: index + 1, starts, ends }] : [],
                ),
                ...(draft.hasLunch
                  ? {
                      lunch: {
                        from: draft.lunchFrom,
                        until: draft.lunchUntil,
                        minutes: typedNumber(draft.lunchMinutes) ?? Number.NaN,
                      },
                    }
                  : {}),
                skills: draft.skills
                  .split("\n")
                  .map((skill) => skill.trim())
                  .filter((skill) => skill !== ""),
                yardIds: [...draft.yardIds],
                ...(draft.hasHome
                  ? {
                      home: {
                        lat: typedNumber(draft.lat) ?? Number.NaN,
                        lon: typedNumber(draft.lon) ?? Number.NaN,
                      },
                    }
                  : {}),
              },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <>
            <Button type="submit" look="primary" isBusy={save.isPending}>
              {t("common:save")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <fieldset className={styles["hours"]}>
          <legend>{t("hours")}</legend>
          {hours.map((one, index) => (
            <div key={days[index]} className={styles["hoursRow"]}>
              <CheckField
                label={
                  <>
                    <span className="only-read">{t("works", { day: "" })}</span>
                    {days[index]}
                  </>
                }
                value={one.isOn}
                onChange={(isOn) => change(index, { isOn })}
              />
              {one.isOn ? (
                <>
                  <TextField
                    label={
                      <span className="only-read">{`${days[index] ?? ""}: ${t("from")}`}</span>
                    }
                    type="time"
                    required
                    value={one.starts}
                    onChange={(starts) => change(index, { starts })}
                  />
                  <TextField
                    label={<span className="only-read">{`${days[index] ?? ""}: ${t("to")}`}</span>}
                    type="time"
                    required
                    value={one.ends}
                    onChange={(ends) => change(index, { ends })}
                  />
                </>
              ) : (
                <span className="quiet">{t("off")}</span>
              )}
            </div>
          ))}
        </fieldset>
        <CheckField label={t("hasLunch")} value={draft.hasLunch} onChange={set("hasLunch")} />
        {draft.hasLunch ? (
          <div className="columns">
            <TextField
              label={t("lunchFrom")}
              name="lunch/from"
              type="time"
              value={draft.lunchFrom}
              onChange={set("lunchFrom")}
            />
            <TextField
              label={t("lunchUntil")}
              name="lunch/until"
              type="time"
              value={draft.lunchUntil}
              onChange={set("lunchUntil")}
            />
            <NumberField
              label={t("lunchMinutes")}
              name="lunch/minutes"
              unit="min"
              value={draft.lunchMinutes}
              onChange={set("lunchMinutes")}
            />
          </div>
        ) : null}
        <TextArea
          label={t("skillsField")}
          name="skills"
          hint={t("skillsHint")}
          rows={3}
          value={draft.skills}
          onChange={set("skills")}
        />
        <ManyField
          label={t("yardsField")}
          name="yardIds"
          hint={t("yardsHint")}
          value={draft.yardIds}
          onChange={set("yardIds")}
          options={yards.map((yard) => ({ value: yard.id, label: yard.name }))}
        />
        <CheckField
          label={t("homeField")}
          hint={t("homeHint")}
          value={draft.hasHome}
          onChange={set("hasHome")}
        />
        {draft.hasHome ? (
          <div className="columns">
            <NumberField
              label={t("lat")}
              name="home/lat"
              unit="°"
              value={draft.lat}
              onChange={set("lat")}
            />
            <NumberField
              label={t("lon")}
              name="home/lon"
              unit="°"
              value={draft.lon}
              onChange={set("lon")}
            />
          </div>
        ) : null}
      </Form>
    </Dialog>
  );
};
