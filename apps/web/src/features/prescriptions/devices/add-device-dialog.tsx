import type { OwnEntry } from "@heelward/contracts";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../../api/use-call.ts";
import { Button } from "../../../components/button.tsx";
import { DecimalField } from "../../../components/decimal-field.tsx";
import { Dialog } from "../../../components/dialog.tsx";
import {
  CheckField,
  ChoiceField,
  SelectField,
  TextArea,
  TextField,
} from "../../../components/field.tsx";
import { Form } from "../../../components/form.tsx";

type Shoe = Extract<OwnEntry, { part: "shoe" }>;
type Fill = Extract<OwnEntry, { part: "fill" }>;
type Part = OwnEntry["part"];
type Sizes = Pick<
  Shoe,
  "webMm" | "thicknessMm" | "setBackMm" | "heels" | "openToe" | "frogPlate" | "solid"
>;

const NEW_SHOE: Sizes = {
  webMm: 20,
  thicknessMm: 10,
  setBackMm: 0,
  heels: "open",
  openToe: false,
  frogPlate: false,
  solid: "no",
};

const linesOf = (text: string, by: RegExp): string[] =>
  text
    .split(by)
    .map((one) => one.trim())
    .filter((one) => one !== "");

const ShoeFields = ({
  value,
  onChange,
}: {
  readonly value: Sizes;
  readonly onChange: (sizes: Sizes) => void;
}) => {
  const { t } = useTranslation("devices");
  return (
    <>
      <div className="columns">
        {(
          [
            ["webMm", "web"],
            ["thicknessMm", "thickness"],
            ["setBackMm", "setBack"],
          ] as const
        ).map(([name, label]) => (
          <DecimalField
            key={name}
            label={t(label)}
            name={`entry/${name}`}
            unit="mm"
            value={value[name]}
            onChange={(mm) => (mm === null ? undefined : onChange({ ...value, [name]: mm }))}
          />
        ))}
      </div>
      <div className="columns">
        <SelectField<Shoe["heels"]>
          label={t("heels")}
          value={value.heels}
          onChange={(heels) => (heels === "" ? undefined : onChange({ ...value, heels }))}
          options={(["open", "bar", "oval"] as const).map((one) => ({
            value: one,
            label: t(`heelKinds.${one}`),
          }))}
        />
        <SelectField<Shoe["solid"]>
          label={t("solid")}
          value={value.solid}
          onChange={(solid) => (solid === "" ? undefined : onChange({ ...value, solid }))}
          options={(["no", "to breakover", "back two thirds"] as const).map((one) => ({
            value: one,
            label: t(`solids.${one}`),
          }))}
        />
      </div>
      <CheckField
        label={t("openToe")}
        value={value.openToe}
        onChange={(openToe) => onChange({ ...value, openToe })}
      />
      <CheckField
        label={t("frogPlate")}
        value={value.frogPlate}
        onChange={(frogPlate) => onChange({ ...value, frogPlate })}
      />
    </>
  );
};

/** Adds a shoe, fill or fixing of the practice's own. */
export const AddDeviceDialog = ({ onClose }: { readonly onClose: () => void }) => {
  const { t } = useTranslation(["devices", "common"]);
  const add = useWrite("addOwnDevice");
  const [part, setPart] = useState<Part>("shoe");
  const [name, setName] = useState("");
  const [materials, setMaterials] = useState("");
  const [sizes, setSizes] = useState(NEW_SHOE);
  const [covers, setCovers] = useState<Fill["covers"]>("back two thirds");
  const [weight, setWeight] = useState<readonly [number | null, number | null]>([null, null]);
  const [does, setDoes] = useState("");
  const [doNotUse, setDoNotUse] = useState("");
  const [source, setSource] = useState("");
  const said = { name, does, doNotUse: linesOf(doNotUse, /\n/u) };
  const made = linesOf(materials, /,/u);
  const [low, high] = weight;
  const entry: OwnEntry =
    part === "shoe"
      ? {
          part,
          ...said,
          ...sizes,
          materials: made,
          ...(low === null || high === null ? {} : { weightGrams: { low, high } }),
        }
      : part === "fill"
        ? { part, ...said, materials: made, covers }
        : { part, ...said };
  const isReady =
    name.trim() !== "" && does.trim() !== "" && said.doNotUse.length > 0 && source.trim() !== "";
  return (
    <Dialog title={t("add")} isOpen onClose={onClose} isWide>
      <Form
        problem={add.error}
        onSubmit={() => add.mutate({ body: { entry, source } }, { onSuccess: onClose })}
        footer={
          <Button look="primary" type="submit" disabled={!isReady} isBusy={add.isPending}>
            {t("common:save")}
          </Button>
        }
      >
        <ChoiceField<Part>
          label={t("part")}
          value={part}
          onChange={setPart}
          options={(["shoe", "fill", "fixing"] as const).map((one) => ({
            value: one,
            label: t(`parts.${one}`),
          }))}
        />
        <TextField
          label={t("name")}
          name="entry/name"
          maxLength={80}
          required
          value={name}
          onChange={setName}
        />
        {part === "fixing" ? null : (
          <TextField
            label={t("materials")}
            name="entry/materials"
            hint={t("materialsHint")}
            isOptional
            value={materials}
            onChange={setMaterials}
          />
        )}
        {part === "shoe" ? (
          <>
            <ShoeFields value={sizes} onChange={setSizes} />
            <div className="columns">
              <DecimalField
                label={t("weightLow")}
                name="entry/weightGrams/low"
                unit="g"
                isOptional
                value={low}
                onChange={(grams) => setWeight([grams, high])}
              />
              <DecimalField
                label={t("weightHigh")}
                name="entry/weightGrams/high"
                unit="g"
                isOptional
                value={high}
                onChange={(grams) => setWeight([low, grams])}
              />
            </div>
          </>
        ) : null}
        {part === "fill" ? (
          <SelectField<Fill["covers"]>
            label={t("covers")}
            value={covers}
            onChange={(next) => (next === "" ? undefined : setCovers(next))}
            options={(["none", "frog", "back two thirds", "behind the tip"] as const).map(
              (one) => ({
                value: one,
                label: t(`coverKinds.${one}`),
              }),
            )}
          />
        ) : null}
        <TextArea
          label={t("does")}
          name="entry/does"
          maxLength={500}
          required
          value={does}
          onChange={setDoes}
        />
        <TextArea
          label={t("doNotUse")}
          name="entry/doNotUse"
          hint={t("doNotUseHint")}
          required
          value={doNotUse}
          onChange={setDoNotUse}
        />
        <TextField
          label={t("source")}
          name="source"
          hint={t("sourceHint")}
          maxLength={300}
          required
          value={source}
          onChange={setSource}
        />
      </Form>
    </Dialog>
  );
};
