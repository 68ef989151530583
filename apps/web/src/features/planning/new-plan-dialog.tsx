import { addDays } from "@heelward/domain/time";
import { useQuery } from "@tanstack/react-query";
import { Plus, Trash2 } from "lucide-react";
import { type ReactNode, useState } from "react";
import { useTranslation } from "react-i18next";
import type { Body } from "../../api/operations.ts";
import { read, useWrite } from "../../api/use-call.ts";
import { useCurrent } from "../../app/current-session.tsx";
import { useGo } from "../../app/use-address.ts";
import { Button, IconButton } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { ChoiceField, ManyField, SelectField, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { useDraft } from "../../components/use-draft.ts";
import { todayIn } from "../../language/format.ts";
import { usePeopleOf } from "../../parts/people.ts";
import { useYards } from "../../parts/yards.ts";
import styles from "./planning.module.css";

type Request = Body<"startPlan">;
type Away = NonNullable<Request["away"]>[number];
type VetVisit = NonNullable<Request["vetVisits"]>[number];

const WEEKS = ["2", "3", "4", "5", "6"] as const;
const SECONDS = ["10", "20", "60"] as const;
const KEEPS = ["promised", "fixed", "free"] as const;
const MOST_RESETS = 200;

/** Open resets by horse, for naming an emergency. */
const useOpenResets = () => {
  const found = useQuery(read("listResets", { query: { limit: MOST_RESETS } }));
  return (found.data?.items ?? [])
    .map((reset) => ({ value: reset.id, label: `${reset.horse.name}, ${reset.yard.name}` }))
    .toSorted((a, b) => a.label.localeCompare(b.label));
};

/** A list of small rows with a button that adds one. */
const Lines = <T,>({
  title,
  hint,
  add,
  rows,
  onAdd,
  onRemove,
  children,
}: {
  readonly title: string;
  readonly hint?: string;
  readonly add: string;
  readonly rows: readonly T[];
  readonly onAdd: () => void;
  readonly onRemove: (index: number) => void;
  readonly children: (row: T, index: number) => ReactNode;
}) => {
  const { t } = useTranslation("planning");
  return (
    <fieldset className={styles["lines"]}>
      <legend>{title}</legend>
      {hint === undefined ? null : <p className="quiet small">{hint}</p>}
      {rows.map((row, index) => (
        <div key={index} className={styles["line"]}>
          {children(row, index)}
          <IconButton
            label={t("remove")}
            icon={<Trash2 aria-hidden />}
            onClick={() => onRemove(index)}
          />
        </div>
      ))}
      <div>
        <Button icon={<Plus aria-hidden />} onClick={onAdd}>
          {add}
        </Button>
      </div>
    </fieldset>
  );
};

const without = <T,>(all: readonly T[], index: number): readonly T[] =>
  all.filter((_, at) => at !== index);
const changed = <T,>(all: readonly T[], index: number, change: Partial<T>): readonly T[] =>
  all.map((one, at) => (at === index ? { ...one, ...change } : one));

/** Asks for a plan; the service works it out in the background. */
export const NewPlanDialog = ({ onClose }: { readonly onClose: () => void }) => {
  const { t } = useTranslation(["planning", "common"]);
  const { session } = useCurrent();
  const go = useGo();
  const start = useWrite("startPlan");
  const [farriers, vets] = [usePeopleOf("farrier"), usePeopleOf("vet")];
  const yards = useYards();
  const resets = useOpenResets();
  const today = todayIn(session.practice.timeZone);
  const [draft, set] = useDraft({
    fromOn: addDays(today, 1),
    weeks: "4" as (typeof WEEKS)[number],
    keep: "promised" as (typeof KEEPS)[number],
    seconds: "20" as (typeof SECONDS)[number],
  });
  const [leftOut, setLeftOut] = useState<readonly string[]>([]);
  const [away, setAway] = useState<readonly Away[]>([]);
  const [urgent, setUrgent] = useState<readonly string[]>([]);
  const [visits, setVisits] = useState<readonly VetVisit[]>([]);
  const people = farriers.map((one) => ({ value: one.id, label: one.name }));
  const chosen = people.map((one) => one.value).filter((id) => !leftOut.includes(id));
  return (
    <Dialog title={t("new")} isOpen onClose={onClose} isWide>
      <Form
        problem={start.error}
        onSubmit={() =>
          start.mutate(
            {
              body: {
                fromOn: draft.fromOn,
                weeks: Number(draft.weeks),
                farrierIds: chosen,
                keepBooked: draft.keep,
                away: [...away],
                urgentResetIds: urgent.filter((id) => id !== ""),
                vetVisits: [...visits],
                seconds: Number(draft.seconds),
              },
            },
            { onSuccess: (plan) => go(`/planning/${plan.id}`) },
          )
        }
        footer={
          <>
            <Button
              type="submit"
              look="primary"
              isBusy={start.isPending}
              disabled={chosen.length === 0}
            >
              {t("start")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <div className="columns">
          <TextField
            label={t("from")}
            name="fromOn"
            type="date"
            min={today}
            value={draft.fromOn}
            onChange={set("fromOn")}
          />
          <SelectField
            label={t("weeks")}
            name="weeks"
            value={draft.weeks}
            onChange={(weeks) => set("weeks")(weeks === "" ? "4" : weeks)}
            options={WEEKS.map((one) => ({ value: one, label: t("weeksOf", { count: +one }) }))}
          />
          <SelectField
            label={t("seconds")}
            name="seconds"
            value={draft.seconds}
            onChange={(seconds) => set("seconds")(seconds === "" ? "20" : seconds)}
            options={SECONDS.map((one) => ({ value: one, label: t("secondsOf", { count: +one }) }))}
          />
        </div>
        <ManyField
          label={t("farriers")}
          name="farrierIds"
          value={chosen}
          onChange={(ids) =>
            setLeftOut(people.map((one) => one.value).filter((id) => !ids.includes(id)))
          }
          options={people}
        />
        <ChoiceField
          label={t("keep")}
          name="keepBooked"
          hint={t("keepHint")}
          value={draft.keep}
          onChange={set("keep")}
          options={KEEPS.map((one) => ({ value: one, label: t(`keeps.${one}`) }))}
        />
        <details className={styles["more"]}>
          <summary>{t("more")}</summary>
          <div className="stack">
            <Lines
              title={t("away")}
              add={t("addAway")}
              rows={away}
              onAdd={() =>
                setAway([
                  ...away,
                  {
                    farrierId: chosen[0] ?? "",
                    fromOn: draft.fromOn,
                    toOn: addDays(draft.fromOn, 6),
                  },
                ])
              }
              onRemove={(index) => setAway(without(away, index))}
            >
              {(one, index) => (
                <>
                  <SelectField
                    label={t("who")}
                    name={`away/${String(index)}/farrierId`}
                    value={one.farrierId}
                    onChange={(farrierId) => setAway(changed(away, index, { farrierId }))}
                    options={people}
                  />
                  <TextField
                    label={t("from")}
                    type="date"
                    value={one.fromOn}
                    onChange={(fromOn) => setAway(changed(away, index, { fromOn }))}
                  />
                  <TextField
                    label={t("until")}
                    name={`away/${String(index)}/toOn`}
                    type="date"
                    value={one.toOn}
                    onChange={(toOn) => setAway(changed(away, index, { toOn }))}
                  />
                </>
              )}
            </Lines>
            <Lines
              title={t("urgent")}
              hint={t("urgentHint")}
              add={t("addUrgent")}
              rows={urgent}
              onAdd={() => setUrgent([...urgent, ""])}
              onRemove={(index) => setUrgent(without(urgent, index))}
            >
              {(one, index) => (
                <SelectField
                  label={<span className="only-read">{t("addUrgent")}</span>}
                  name={`urgentResetIds/${String(index)}`}
                  value={one}
                  onChange={(id) => setUrgent(urgent.map((was, at) => (at === index ? id : was)))}
                  emptyLabel={t("common:chooseFirst")}
                  options={resets.filter(
                    (reset) => reset.value === one || !urgent.includes(reset.value),
                  )}
                />
              )}
            </Lines>
            <Lines
              title={t("vets")}
              hint={t("vetsHint")}
              add={t("addVet")}
              rows={visits}
              onAdd={() =>
                setVisits([
                  ...visits,
                  {
                    vetId: vets[0]?.id ?? "",
                    yardId: yards[0]?.id ?? "",
                    on: draft.fromOn,
                    from: "09:00",
                    until: "12:00",
                  },
                ])
              }
              onRemove={(index) => setVisits(without(visits, index))}
            >
              {(one, index) => (
                <>
                  <SelectField
                    label={t("vet")}
                    value={one.vetId}
                    onChange={(vetId) => setVisits(changed(visits, index, { vetId }))}
                    options={vets.map((vet) => ({ value: vet.id, label: vet.name }))}
                  />
                  <SelectField
                    label={t("yard")}
                    value={one.yardId}
                    onChange={(yardId) => setVisits(changed(visits, index, { yardId }))}
                    options={yards.map((yard) => ({ value: yard.id, label: yard.name }))}
                  />
                  <TextField
                    label={t("on")}
                    type="date"
                    value={one.on}
                    onChange={(on) => setVisits(changed(visits, index, { on }))}
                  />
                  <TextField
                    label={t("between")}
                    type="time"
                    value={one.from}
                    onChange={(from) => setVisits(changed(visits, index, { from }))}
                  />
                  <TextField
                    label={t("and")}
                    name={`vetVisits/${String(index)}/until`}
                    type="time"
                    value={one.until}
                    onChange={(until) => setVisits(changed(visits, index, { until }))}
                  />
                </>
              )}
            </Lines>
          </div>
        </details>
      </Form>
    </Dialog>
  );
};
