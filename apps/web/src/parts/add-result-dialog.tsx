import type { Horse } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import type { Body } from "../api/operations.ts";
import { useWrite } from "../api/use-call.ts";
import { Button } from "../components/button.tsx";
import { Dialog } from "../components/dialog.tsx";
import { NumberField, SelectField, TextArea, TextField } from "../components/field.tsx";
import { Findings } from "../components/findings.tsx";
import { Form } from "../components/form.tsx";
import { typedNumber, typedText, useDraft } from "../components/use-draft.ts";
import { todayIn } from "../language/format.ts";

type Test = Body<"addLabResult">["test"];

/** Tests with the unit most laboratories print, to start from. */
const UNITS: Readonly<Record<Test, string>> = {
  insulin: "µIU/mL",
  ACTH: "pg/mL",
  glucose: "mmol/L",
  triglycerides: "mmol/L",
  "total protein": "g/L",
  albumin: "g/L",
  creatinine: "µmol/L",
  urea: "mmol/L",
  GGT: "U/L",
  GLDH: "U/L",
  "bile acids": "µmol/L",
  haematocrit: "%",
  "urine specific gravity": "kg/L",
  "beta-hydroxybutyrate": "mmol/L",
  lactate: "mmol/L",
  "white cells": "10⁹/L",
};
const FEEDINGS = ["hay only", "fasted", "hard feed", "not known"] as const;
const PROTOCOLS = [
  "syrup 0.15 mL/kg",
  "syrup 0.3 mL/kg",
  "syrup 0.45 mL/kg",
  "pellets 0.5 g/kg",
  "in-feed glucose 1 g/kg",
  "TRH stimulation",
] as const;
const TESTS = Object.keys(UNITS) as readonly Test[];
const testOf = (name: string): Test => TESTS.find((one) => one === name) ?? "insulin";

/** A result as the laboratory sent it, with its own range and method. */
export const AddResultDialog = ({
  horse,
  test = "insulin",
  onClose,
}: {
  readonly horse: Horse;
  /** The test to begin with, by its name as a task asks for it. */
  readonly test?: string | undefined;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["laboratory", "common"]);
  const add = useWrite("addLabResult");
  const [draft, set, setDraft] = useDraft(() => ({
    test: testOf(test),
    value: "",
    unit: UNITS[testOf(test)],
    takenOn: todayIn(horse.yard.timeZone),
    assay: "",
    laboratory: "",
    rangeLow: "",
    rangeHigh: "",
    cutoff: "",
    note: "",
    feeding: "" as (typeof FEEDINGS)[number] | "",
    protocol: "" as (typeof PROTOCOLS)[number] | "",
    minute: "",
  }));
  const numbers = (["rangeLow", "rangeHigh", "cutoff", "minute"] as const).flatMap((name) => {
    const value = typedNumber(draft[name]);
    return value === undefined ? [] : [[name, value] as const];
  });
  const texts = (["assay", "laboratory", "note"] as const).flatMap((name) => {
    const value = typedText(draft[name]);
    return value === undefined ? [] : [[name, value] as const];
  });
  if (add.data !== undefined && add.data.heldCourseIds.length > 0)
    return (
      <Dialog title={t("addTitle", { horse: horse.name })} isOpen onClose={onClose}>
        <div className="stack">
          <p>
            <strong>{t("held", { count: add.data.heldCourseIds.length })}</strong>
          </p>
          <Findings findings={add.data.findings} />
          <div className="row">
            <Button look="primary" onClick={onClose}>
              {t("understood")}
            </Button>
          </div>
        </div>
      </Dialog>
    );
  return (
    <Dialog title={t("addTitle", { horse: horse.name })} isOpen isWide onClose={onClose}>
      <Form
        problem={add.error}
        onSubmit={() =>
          add.mutate(
            {
              params: { horseId: horse.id },
              body: {
                test: draft.test,
                takenOn: draft.takenOn,
                value: typedNumber(draft.value) ?? Number.NaN,
                unit: draft.unit,
                ...(draft.feeding === "" ? {} : { feeding: draft.feeding }),
                ...(draft.protocol === "" ? {} : { protocol: draft.protocol }),
                ...Object.fromEntries([...numbers, ...texts]),
              },
            },
            { onSuccess: (saved) => (saved.heldCourseIds.length === 0 ? onClose() : undefined) },
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
          <SelectField<Test>
            label={t("test")}
            name="test"
            value={draft.test}
            onChange={(test) =>
              test === "" ? undefined : setDraft({ ...draft, test, unit: UNITS[test] })
            }
            options={TESTS.map((one) => ({ value: one, label: t(`tests.${one}`) }))}
          />
          <TextField
            label={t("takenOn")}
            name="takenOn"
            type="date"
            value={draft.takenOn}
            onChange={set("takenOn")}
          />
        </div>
        <div className="columns">
          <NumberField
            label={t("value")}
            name="value"
            value={draft.value}
            onChange={set("value")}
          />
          <TextField label={t("unit")} name="unit" value={draft.unit} onChange={set("unit")} />
        </div>
        <div className="columns">
          <NumberField
            label={t("rangeLow")}
            name="rangeLow"
            unit={draft.unit}
            isOptional
            value={draft.rangeLow}
            onChange={set("rangeLow")}
          />
          <NumberField
            label={t("rangeHigh")}
            name="rangeHigh"
            unit={draft.unit}
            isOptional
            value={draft.rangeHigh}
            onChange={set("rangeHigh")}
          />
          <NumberField
            label={t("cutoff")}
            name="cutoff"
            unit={draft.unit}
            isOptional
            value={draft.cutoff}
            onChange={set("cutoff")}
          />
        </div>
        <div className="columns">
          <TextField
            label={t("laboratory")}
            name="laboratory"
            isOptional
            value={draft.laboratory}
            onChange={set("laboratory")}
          />
          <TextField
            label={t("assay")}
            name="assay"
            isOptional
            hint={t("assayHint")}
            value={draft.assay}
            onChange={set("assay")}
          />
        </div>
        <div className="columns">
          <SelectField
            label={t("feeding")}
            name="feeding"
            isOptional
            value={draft.feeding}
            onChange={set("feeding")}
            emptyLabel={t("common:chooseFirst")}
            options={FEEDINGS.map((one) => ({ value: one, label: t(`feedings.${one}`) }))}
          />
          <SelectField
            label={t("protocol")}
            name="protocol"
            isOptional
            value={draft.protocol}
            onChange={set("protocol")}
            emptyLabel={t("plainSample")}
            options={PROTOCOLS.map((one) => ({ value: one, label: one }))}
          />
          {draft.protocol === "" ? null : (
            <NumberField
              label={t("minute")}
              name="minute"
              unit="min"
              value={draft.minute}
              onChange={set("minute")}
            />
          )}
        </div>
        <TextArea
          label={t("note")}
          name="note"
          isOptional
          rows={2}
          hint={t("noteHint")}
          value={draft.note}
          onChange={set("note")}
        />
      </Form>
    </Dialog>
  );
};
