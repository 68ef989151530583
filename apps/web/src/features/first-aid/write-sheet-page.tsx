import type { CaseView } from "@heelward/contracts";
import {
  BEDDINGS,
  type Bedding,
  type Floor,
  FLOORS,
  WATER_POSITIONS,
  type WaterPosition,
} from "@heelward/domain/firstaid";
import { useTranslation } from "react-i18next";
import type { Answer, Body } from "../../api/operations.ts";
import { useWrite } from "../../api/use-call.ts";
import { useParam } from "../../app/use-address.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { CheckField, ChoiceField, NumberField, SelectField } from "../../components/field.tsx";
import { FeetPicker, type FootName } from "../../components/foot-diagram.tsx";
import { Form } from "../../components/form.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { QueryView } from "../../components/states.tsx";
import { typedNumber, useDraft } from "../../components/use-draft.ts";
import { CopyLink } from "../../parts/copy-link.tsx";
import { useCase } from "./queries.ts";

type Lift = Body<"writeFirstAidSheet">["canLiftFeet"];

const LIFTS = ["easily", "with difficulty", "no", "not tried"] as const;
const OBEL = ["0", "1", "2", "3", "4"] as const;

const firstDraft = (feetAffected: readonly FootName[]) => ({
  obel: "" as (typeof OBEL)[number] | "",
  feet: (feetAffected.length === 0 ? ["LF", "RF"] : feetAffected) as readonly FootName[],
  canLift: "" as Lift | "",
  foam: false,
  pads: false,
  outside: false,
  ice: false,
  hasBox: true,
  width: "3.6",
  length: "3.6",
  bedding: "shavings" as Bedding,
  floor: "concrete" as Floor,
  water: "inside on the floor" as WaterPosition,
});
type Draft = ReturnType<typeof firstDraft>;

const bodyOf = (draft: Draft, canLiftFeet: Lift): Body<"writeFirstAidSheet"> => {
  const obelGrade = typedNumber(draft.obel);
  return {
    ...(obelGrade !== undefined && { obelGrade }),
    feetAffected: [...draft.feet],
    canLiftFeet,
    foamAvailable: draft.foam,
    padsAvailable: draft.pads,
    outside: draft.outside,
    iceOrderedByVet: draft.ice,
    ...(draft.hasBox && {
      box: {
        widthM: typedNumber(draft.width) ?? 0,
        lengthM: typedNumber(draft.length) ?? 0,
        bedding: draft.bedding,
        floor: draft.floor,
        water: draft.water,
      },
    }),
  };
};

const Written = ({ sheet }: { readonly sheet: Answer<"writeFirstAidSheet"> }) => {
  const { t } = useTranslation("firstAid");
  return (
    <>
      <PageHeader
        title={t("linkTitle")}
        lead={sheet.horse.name}
        back={{ href: `/cases/${sheet.caseId}`, label: sheet.horse.name }}
      />
      <Card>
        <div className="stack">
          <CopyLink link={sheet.link} label={t("linkText")} copy={t("copy")} copied={t("copied")} />
          <div>
            <ButtonLink href={`/first-aid-sheets/${sheet.id}`}>{t("openSheet")}</ButtonLink>
          </div>
        </div>
      </Card>
    </>
  );
};

interface PartProps {
  readonly draft: Draft;
  readonly set: ReturnType<typeof useDraft<Draft>>[1];
}

const BoxFields = ({ draft, set }: PartProps) => {
  const { t } = useTranslation("firstAid");
  const size = (name: "width" | "length") => (
    <NumberField
      label={t(name)}
      name={`box/${name}M`}
      unit="m"
      required
      value={draft[name]}
      onChange={set(name)}
    />
  );
  return (
    <div className="columns">
      {size("width")}
      {size("length")}
      <SelectField<Bedding>
        label={t("bedding")}
        name="box/bedding"
        value={draft.bedding}
        onChange={(value) => set("bedding")(value === "" ? "none" : value)}
        options={BEDDINGS.map((value) => ({ value, label: t(`beddings.${value}`) }))}
      />
      <SelectField<Floor>
        label={t("floor")}
        name="box/floor"
        value={draft.floor}
        onChange={(value) => set("floor")(value === "" ? "other" : value)}
        options={FLOORS.map((value) => ({ value, label: t(`floors.${value}`) }))}
      />
      <SelectField<WaterPosition>
        label={t("water")}
        name="box/water"
        value={draft.water}
        onChange={(value) => set("water")(value === "" ? "inside on the floor" : value)}
        options={WATER_POSITIONS.map((value) => ({ value, label: t(`waters.${value}`) }))}
      />
    </div>
  );
};

const SheetForm = ({
  one,
  write,
}: {
  readonly one: CaseView;
  readonly write: ReturnType<typeof useWrite<"writeFirstAidSheet">>;
}) => {
  const { t } = useTranslation("firstAid");
  const [draft, set] = useDraft(() => firstDraft(one.feetAffected));
  return (
    <Form
      problem={write.error}
      onSubmit={() => {
        if (draft.canLift !== "")
          write.mutate({ params: { caseId: one.id }, body: bodyOf(draft, draft.canLift) });
      }}
      footer={
        <Button
          look="primary"
          size="large"
          type="submit"
          disabled={draft.canLift === ""}
          isBusy={write.isPending}
        >
          {t("make")}
        </Button>
      }
    >
      <div className="columns">
        <FeetPicker label={t("feetAffected")} value={draft.feet} onChange={set("feet")} />
        <div className="stack">
          <ChoiceField
            label={t("canLift")}
            name="canLiftFeet"
            hint={t("canLiftHint")}
            value={draft.canLift}
            onChange={set("canLift")}
            options={LIFTS.map((value) => ({ value, label: t(`lifts.${value}`) }))}
          />
          <SelectField
            label={t("obel")}
            name="obelGrade"
            value={draft.obel}
            onChange={set("obel")}
            emptyLabel={t("notGraded")}
            options={OBEL.map((value) => ({ value, label: value }))}
          />
        </div>
        <div>
          <CheckField label={t("foam")} value={draft.foam} onChange={set("foam")} />
          <CheckField label={t("pads")} value={draft.pads} onChange={set("pads")} />
          <CheckField label={t("outside")} value={draft.outside} onChange={set("outside")} />
          <CheckField label={t("ice")} value={draft.ice} onChange={set("ice")} />
          <CheckField label={t("hasBox")} value={draft.hasBox} onChange={set("hasBox")} />
        </div>
      </div>
      {draft.hasBox ? <BoxFields draft={draft} set={set} /> : null}
    </Form>
  );
};

/** Writes the yard's first-aid sheet from grade, feet and box. */
export const WriteSheetPage = () => {
  const { t } = useTranslation("firstAid");
  const one = useCase(useParam("caseId"));
  const write = useWrite("writeFirstAidSheet");
  if (write.data !== undefined) return <Written sheet={write.data} />;
  return (
    <QueryView query={one}>
      {(data) => (
        <>
          <PageHeader
            title={t("sheetOf", { horse: data.horse.name })}
            lead={t("writeLead")}
            back={{ href: `/cases/${data.id}`, label: data.horse.name }}
          />
          <Card>
            <SheetForm one={data} write={write} />
          </Card>
        </>
      )}
    </QueryView>
  );
};
