import type { Yard } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import type { Body } from "../../api/operations.ts";
import { Button } from "../../components/button.tsx";
import { NumberField, TextArea, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { typedNumber, typedText, useDraft } from "../../components/use-draft.ts";
import { useTimeZone } from "../../language/time-zone.ts";
import { OpeningField } from "./opening-field.tsx";

const draftOf = (yard: Yard | undefined, practiceZone: string) => ({
  name: yard?.name ?? "",
  address: yard?.address ?? "",
  phone: yard?.phone ?? "",
  lat: yard === undefined ? "" : String(yard.lat),
  lon: yard === undefined ? "" : String(yard.lon),
  timeZone: yard?.timeZone ?? practiceZone,
  accessNotes: yard?.accessNotes ?? "",
  surface: yard?.surface ?? "",
  signal: yard?.signal ?? "",
  weighing: yard?.weighing ?? "",
  opening: (yard?.opening ?? []) as readonly Yard["opening"][number][],
  closedOn: (yard?.closedOn ?? []).join(", "),
});

const bodyOf = (draft: ReturnType<typeof draftOf>): Body<"addYard"> => ({
  name: draft.name,
  // Not a number: the service says which field it is and what it expects.
  lat: typedNumber(draft.lat) ?? Number.NaN,
  lon: typedNumber(draft.lon) ?? Number.NaN,
  timeZone: draft.timeZone,
  address: typedText(draft.address) ?? null,
  phone: typedText(draft.phone) ?? null,
  accessNotes: typedText(draft.accessNotes) ?? null,
  surface: typedText(draft.surface) ?? null,
  signal: typedText(draft.signal) ?? null,
  weighing: typedText(draft.weighing) ?? null,
  opening: [...draft.opening],
  closedOn: draft.closedOn.split(/[\s,;]+/).filter((one) => one !== ""),
});

/** Everything about a yard, for adding and changing. */
export const YardForm = ({
  yard,
  problem,
  isBusy,
  onSave,
  onCancel,
}: {
  readonly yard?: Yard;
  readonly problem: Error | null;
  readonly isBusy: boolean;
  readonly onSave: (body: Body<"addYard">) => void;
  readonly onCancel: () => void;
}) => {
  const { t } = useTranslation(["yards", "common"]);
  const practiceZone = useTimeZone();
  const [draft, set] = useDraft(() => draftOf(yard, practiceZone));
  const line = (name: "address" | "surface" | "signal" | "weighing" | "phone") => (
    <TextField
      label={t(name)}
      name={name}
      type={name === "phone" ? "tel" : "text"}
      isOptional
      value={draft[name]}
      onChange={set(name)}
    />
  );
  return (
    <Form
      problem={problem}
      onSubmit={() => onSave(bodyOf(draft))}
      footer={
        <>
          <Button look="primary" type="submit" isBusy={isBusy}>
            {t("common:save")}
          </Button>
          <Button look="quiet" onClick={onCancel}>
            {t("common:cancel")}
          </Button>
        </>
      }
    >
      <div className="columns">
        <TextField
          label={t("name")}
          name="name"
          required
          value={draft.name}
          onChange={set("name")}
        />
        {line("address")}
        {line("phone")}
        <NumberField
          label={t("latitude")}
          name="lat"
          required
          value={draft.lat}
          onChange={set("lat")}
        />
        <NumberField
          label={t("longitude")}
          name="lon"
          required
          value={draft.lon}
          onChange={set("lon")}
        />
        <TextField
          label={t("timeZone")}
          name="timeZone"
          hint={t("timeZoneHint")}
          required
          value={draft.timeZone}
          onChange={set("timeZone")}
        />
        {line("surface")}
        {line("signal")}
        {line("weighing")}
      </div>
      <TextArea
        label={t("access")}
        name="accessNotes"
        hint={t("accessHint")}
        isOptional
        value={draft.accessNotes}
        onChange={set("accessNotes")}
      />
      <OpeningField value={draft.opening} onChange={set("opening")} />
      <TextField
        label={t("closedOn")}
        name="closedOn"
        hint={t("closedHint")}
        isOptional
        value={draft.closedOn}
        onChange={set("closedOn")}
      />
    </Form>
  );
};
