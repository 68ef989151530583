import type { Horse } from "@heelward/contracts";
import { Plus, Snowflake, ThermometerSun, TriangleAlert } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import type { Answer } from "../../api/operations.ts";
import { useWrite } from "../../api/use-call.ts";
import { useIsRole } from "../../app/current-session.tsx";
import { Badge } from "../../components/badges.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Rows } from "../../components/data-list.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { NumberField, TextArea } from "../../components/field.tsx";
import { SourceNote } from "../../components/findings.tsx";
import { FeetPicker, FeetShown, type FootName } from "../../components/foot-diagram.tsx";
import { Form } from "../../components/form.tsx";
import { MomentField } from "../../components/moment-field.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { typedNumber, typedText, useDraft } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { nowIn } from "../../language/wall-clock.ts";
import { useIceLog } from "./queries.ts";
import styles from "./metabolic.module.css";

type Log = Answer<"readIceLog">;

const AddDialog = ({
  horse,
  from,
  onClose,
}: {
  readonly horse: Horse;
  readonly from: string | undefined;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["recovery", "common"]);
  const add = useWrite("addIceEntry");
  const zone = horse.yard.timeZone;
  const [draft, set] = useDraft(() => ({
    fromAt: from ?? "",
    toAt: nowIn(zone),
    feet: ["LF", "RF"] as readonly FootName[],
    hoofCelsius: "",
    note: "",
  }));
  const celsius = typedNumber(draft.hoofCelsius);
  const note = typedText(draft.note);
  return (
    <Dialog title={t("ice.addTitle", { horse: horse.name })} isOpen onClose={onClose}>
      <Form
        problem={add.error}
        onSubmit={() =>
          add.mutate(
            {
              params: { horseId: horse.id },
              body: {
                fromAt: draft.fromAt,
                toAt: draft.toAt,
                feet: [...draft.feet],
                ...(celsius === undefined ? {} : { hoofCelsius: celsius }),
                ...(note === undefined ? {} : { note }),
              },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <>
            <Button type="submit" look="primary" isBusy={add.isPending}>
              {t("common:save")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <div className="columns">
          <MomentField
            label={t("ice.from")}
            name="fromAt"
            timeZone={zone}
            value={draft.fromAt}
            onChange={set("fromAt")}
          />
          <MomentField
            label={t("ice.to")}
            name="toAt"
            timeZone={zone}
            value={draft.toAt}
            onChange={set("toAt")}
          />
        </div>
        <FeetPicker label={t("ice.feet")} value={draft.feet} onChange={set("feet")} />
        <NumberField
          label={t("ice.celsius")}
          name="hoofCelsius"
          unit="°C"
          isOptional
          hint={t("ice.celsiusHint")}
          value={draft.hoofCelsius}
          onChange={set("hoofCelsius")}
        />
        <TextArea
          label={t("ice.note")}
          name="note"
          isOptional
          rows={2}
          value={draft.note}
          onChange={set("note")}
        />
      </Form>
    </Dialog>
  );
};

const Days = ({ log }: { readonly log: Log }) => {
  const { t } = useTranslation("recovery");
  const format = useFormat();
  return (
    <ul className={styles["days"]} aria-label={t("ice.byDay")}>
      {log.hoursByDay.map((day) => (
        <li key={day.on}>
          <span>{format.shortDate(day.on)}</span>
          <meter min={0} max={24} value={day.hours} aria-label={format.shortDate(day.on)} />
          <span>{t("ice.hours", { hours: format.number(day.hours, 1) })}</span>
        </li>
      ))}
    </ul>
  );
};

const Shown = ({ log, horse }: { readonly log: Log; readonly horse: Horse }) => {
  const { t } = useTranslation("recovery");
  const format = useFormat(horse.yard.timeZone);
  const warm = new Set(log.warmReadings.map((one) => one.entryId));
  return (
    <div className="stack">
      <Card title={t("ice.title")}>
        <div className="stack">
          <p className={styles["big"]}>
            <strong>{t("ice.hours", { hours: format.number(log.hoursLast24, 1) })}</strong>{" "}
            {t("ice.last24")}
          </p>
          <p className="quiet">
            {t("ice.lead", {
              gap: format.number(log.gapHours, 1),
              celsius: format.number(log.maxCelsius, 0),
            })}
          </p>
          <SourceNote source={log.source} />
          <Days log={log} />
          {log.gaps.length === 0 ? null : (
            <div className="stack-tight">
              <h3>{t("ice.gaps")}</h3>
              <ul className={styles["flags"]}>
                {log.gaps.map((gap) => (
                  <li key={gap.fromAt}>
                    <Badge tone="today" icon={<TriangleAlert aria-hidden />}>
                      {t("ice.hours", { hours: format.number(gap.hours, 1) })}
                    </Badge>
                    {t("ice.between", {
                      from: format.shortDateTime(gap.fromAt),
                      to: format.shortDateTime(gap.toAt),
                    })}
                  </li>
                ))}
              </ul>
            </div>
          )}
        </div>
      </Card>
      <Card title={t("ice.entries")} isFlush>
        <Rows
          label={t("ice.entries")}
          rows={log.entries.toSorted((a, b) => Date.parse(b.fromAt) - Date.parse(a.fromAt))}
          keyOf={(entry) => entry.id}
          columns={[
            {
              key: "when",
              label: t("on"),
              hideLabelOnPhone: true,
              cell: (entry) => `${format.shortDateTime(entry.fromAt)} – ${format.time(entry.toAt)}`,
            },
            {
              key: "feet",
              label: t("ice.feet"),
              hideLabelOnPhone: true,
              cell: (entry) => <FeetShown feet={entry.feet as readonly FootName[]} />,
            },
            {
              key: "cold",
              label: t("ice.celsius"),
              cell: (entry) =>
                entry.hoofCelsius === null ? (
                  <span className="quiet">{t("ice.notMeasured")}</span>
                ) : warm.has(entry.id) ? (
                  <Badge tone="now" icon={<ThermometerSun aria-hidden />}>
                    {t("ice.warm", { celsius: format.number(entry.hoofCelsius, 1) })}
                  </Badge>
                ) : (
                  <Badge tone="fine" icon={<Snowflake aria-hidden />}>
                    {t("ice.cold", { celsius: format.number(entry.hoofCelsius, 1) })}
                  </Badge>
                ),
            },
            {
              key: "by",
              label: t("by"),
              hideLabelOnPhone: true,
              cell: (entry) => (
                <span className="quiet">
                  {[entry.recordedBy.name, entry.note].filter((one) => one !== null).join(" · ")}
                </span>
              ),
            },
          ]}
        />
      </Card>
    </div>
  );
};

/** Time on ice: hours, gaps, and readings that were too warm. */
export const IceTab = ({ horse }: { readonly horse: Horse }) => {
  const { t } = useTranslation("recovery");
  const log = useIceLog(horse.id);
  const mayAdd = useIsRole("vet", "carer");
  const [isOpen, setOpen] = useState(false);
  const button = mayAdd ? (
    <Button look="primary" icon={<Plus aria-hidden />} onClick={() => setOpen(true)}>
      {t("ice.add")}
    </Button>
  ) : undefined;
  return (
    <QueryView query={log} lines={6}>
      {(data) => (
        <div className="stack">
          {isOpen ? (
            <AddDialog
              horse={horse}
              from={data.entries
                .map((one) => one.toAt)
                .toSorted()
                .at(-1)}
              onClose={() => setOpen(false)}
            />
          ) : null}
          {data.entries.length === 0 ? (
            <EmptyState
              icon={<Snowflake aria-hidden />}
              title={t("ice.none")}
              {...(button === undefined ? {} : { action: button })}
            >
              {t("ice.noneText")}
            </EmptyState>
          ) : (
            <>
              {button === undefined ? null : <div className="no-print">{button}</div>}
              <Shown log={data} horse={horse} />
            </>
          )}
        </div>
      )}
    </QueryView>
  );
};
