import type { Horse } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import type { Body } from "../../api/operations.ts";
import { Button } from "../../components/button.tsx";
import { CheckField, NumberField, SelectField, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { typedNumber, typedText, useDraft } from "../../components/use-draft.ts";
import { usePeopleOf } from "../../parts/people.ts";
import { useYards } from "./queries.ts";

const text = (value: string | number | null | undefined): string =>
  value === null || value === undefined ? "" : String(value);

const draftOf = (horse: Horse | undefined) => ({
  name: horse?.name ?? "",
  type: horse?.type ?? ("horse" as const),
  sex: horse?.sex ?? ("" as Horse["sex"] | ""),
  yardId: horse?.yardId ?? "",
  breed: text(horse?.breed),
  bornOn: text(horse?.bornOn),
  heightCm: text(horse?.heightCm),
  farrierId: text(horse?.farrierId),
  ueln: text(horse?.ueln),
  microchip: text(horse?.microchip),
  pregnant: horse?.pregnant ?? false,
  lactating: horse?.lactating ?? false,
  conditions: (horse?.conditions ?? []).join(", "),
  feet: text(horse?.feet),
  resetIntervalDays: text(horse?.resetIntervalDays),
  breakoverLimitMm: text(horse?.breakoverLimitMm),
  growthMmPer30d: text(horse?.growthMmPer30d),
  wearFraction: text(horse?.wearFraction),
  wallAngleDegrees: text(horse?.wallAngleDegrees),
});
type Draft = ReturnType<typeof draftOf>;

const bodyOf = (draft: Draft): Body<"addHorse"> => ({
  name: draft.name,
  type: draft.type,
  sex: draft.sex as Horse["sex"],
  yardId: draft.yardId,
  breed: typedText(draft.breed) ?? null,
  bornOn: typedText(draft.bornOn) ?? null,
  heightCm: typedNumber(draft.heightCm) ?? null,
  farrierId: typedText(draft.farrierId) ?? null,
  ueln: typedText(draft.ueln) ?? null,
  microchip: typedText(draft.microchip) ?? null,
  pregnant: draft.pregnant,
  lactating: draft.lactating,
  conditions: draft.conditions
    .split(",")
    .map((one) => one.trim())
    .filter((one) => one !== ""),
  feet: typedText(draft.feet) ?? null,
  resetIntervalDays: typedNumber(draft.resetIntervalDays) ?? null,
  breakoverLimitMm: typedNumber(draft.breakoverLimitMm) ?? null,
  growthMmPer30d: typedNumber(draft.growthMmPer30d) ?? null,
  wearFraction: typedNumber(draft.wearFraction) ?? null,
  wallAngleDegrees: typedNumber(draft.wallAngleDegrees) ?? null,
});

type Setter = ReturnType<typeof useDraft<Draft>>[1];
interface Fields {
  readonly draft: Draft;
  readonly set: Setter;
}

const IdentityFields = ({ draft, set }: Fields) => {
  const { t } = useTranslation(["horses", "common"]);
  const yards = useYards();
  return (
    <div className="columns">
      <TextField label={t("name")} name="name" required value={draft.name} onChange={set("name")} />
      <SelectField
        label={t("type")}
        name="type"
        value={draft.type}
        onChange={(value) => set("type")(value === "" ? "horse" : value)}
        options={(["horse", "pony", "donkey"] as const).map((one) => ({
          value: one,
          label: t(`common:horseType.${one}`),
        }))}
      />
      <SelectField
        label={t("sex")}
        name="sex"
        required
        value={draft.sex}
        onChange={set("sex")}
        emptyLabel={t("common:chooseFirst")}
        options={(["mare", "gelding", "stallion"] as const).map((one) => ({
          value: one,
          label: t(`sexes.${one}`),
        }))}
      />
      <SelectField
        label={t("yard")}
        name="yardId"
        required
        value={draft.yardId}
        onChange={set("yardId")}
        emptyLabel={t("common:chooseFirst")}
        options={(yards.data?.items ?? []).map((yard) => ({ value: yard.id, label: yard.name }))}
      />
      <SelectField
        label={t("farrier")}
        name="farrierId"
        value={draft.farrierId}
        onChange={set("farrierId")}
        emptyLabel={t("noFarrier")}
        options={usePeopleOf("farrier").map((one) => ({ value: one.id, label: one.name }))}
      />
      <TextField
        label={t("breed")}
        name="breed"
        isOptional
        value={draft.breed}
        onChange={set("breed")}
      />
      <TextField
        label={t("born")}
        name="bornOn"
        type="date"
        isOptional
        value={draft.bornOn}
        onChange={set("bornOn")}
      />
      <NumberField
        label={t("height")}
        name="heightCm"
        unit="cm"
        isOptional
        value={draft.heightCm}
        onChange={set("heightCm")}
      />
      <TextField
        label={t("microchip")}
        name="microchip"
        hint={t("microchipHint")}
        inputMode="numeric"
        isOptional
        value={draft.microchip}
        onChange={set("microchip")}
      />
      <TextField
        label={t("ueln")}
        name="ueln"
        hint={t("uelnHint")}
        isOptional
        value={draft.ueln}
        onChange={set("ueln")}
      />
      <TextField
        label={t("conditions")}
        name="conditions"
        hint={t("conditionsHint")}
        isOptional
        value={draft.conditions}
        onChange={set("conditions")}
      />
      <div>
        <CheckField label={t("pregnant")} value={draft.pregnant} onChange={set("pregnant")} />
        <CheckField label={t("lactating")} value={draft.lactating} onChange={set("lactating")} />
      </div>
    </div>
  );
};

const HoofFields = ({ draft, set }: Fields) => {
  const { t } = useTranslation("horses");
  const figure = (
    name: "resetIntervalDays" | "breakoverLimitMm" | "growthMmPer30d" | "wallAngleDegrees",
    label: "interval" | "limit" | "growth" | "wallAngle",
    unit: string,
  ) => (
    <NumberField
      label={t(label)}
      name={name}
      unit={unit}
      isOptional
      value={draft[name]}
      onChange={set(name)}
    />
  );
  return (
    <fieldset className="columns" style={{ border: 0, margin: 0, padding: 0 }}>
      <legend className="only-read">{t("hoof")}</legend>
      <TextField
        label={t("feet")}
        name="feet"
        isOptional
        value={draft.feet}
        onChange={set("feet")}
      />
      {figure("resetIntervalDays", "interval", "d")}
      {figure("breakoverLimitMm", "limit", "mm")}
      {figure("growthMmPer30d", "growth", "mm")}
      {figure("wallAngleDegrees", "wallAngle", "°")}
      <NumberField
        label={t("wear")}
        name="wearFraction"
        hint="0–1"
        isOptional
        value={draft.wearFraction}
        onChange={set("wearFraction")}
      />
    </fieldset>
  );
};

/** Everything about a horse that does not change by an event of care. */
export const HorseForm = ({
  horse,
  problem,
  isBusy,
  onSave,
  onCancel,
}: {
  readonly horse?: Horse;
  readonly problem: Error | null;
  readonly isBusy: boolean;
  readonly onSave: (body: Body<"addHorse">) => void;
  readonly onCancel: () => void;
}) => {
  const { t } = useTranslation("common");
  const [draft, set] = useDraft(() => draftOf(horse));
  return (
    <Form
      problem={problem}
      onSubmit={() => onSave(bodyOf(draft))}
      footer={
        <>
          <Button look="primary" type="submit" isBusy={isBusy}>
            {t("save")}
          </Button>
          <Button look="quiet" onClick={onCancel}>
            {t("cancel")}
          </Button>
        </>
      }
    >
      <IdentityFields draft={draft} set={set} />
      <HoofFields draft={draft} set={set} />
    </Form>
  );
};
