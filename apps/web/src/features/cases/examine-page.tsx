import { SUPPORT_LIMB_PROPOSAL } from "@heelward/domain/cases";
import {
  DIGITAL_PULSES,
  type DigitalPulse,
  HOOF_HEATS,
  type HoofHeat,
  RED_FLAG_SIGNS,
  type RedFlagSign,
} from "@heelward/domain/examination";
import { useTranslation } from "react-i18next";
import type { Body } from "../../api/operations.ts";
import { useWrite } from "../../api/use-call.ts";
import { useGo, useParam } from "../../app/use-address.ts";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { ManyField, NumberField, SelectField, TextArea } from "../../components/field.tsx";
import { FEET, type FootName } from "../../components/foot-diagram.tsx";
import { Form } from "../../components/form.tsx";
import { MomentField } from "../../components/moment-field.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { QueryView } from "../../components/states.tsx";
import { typedNumber, typedText, useDraft } from "../../components/use-draft.ts";
import { nowIn } from "../../language/wall-clock.ts";
import { StartWatchForm } from "../../parts/start-watch-form.tsx";
import { useCaseFile } from "./queries.ts";

const OBEL = ["0", "1", "2", "3", "4"] as const;
const LAMENESS = ["0", "1", "2", "3", "4", "5"] as const;

const firstDraft = (timeZone: string) => ({
  examinedAt: nowIn(timeZone),
  obel: "" as (typeof OBEL)[number] | "",
  lameness: "" as (typeof LAMENESS)[number] | "",
  fiveSign: "",
  pulses: {} as Partial<Record<FootName, DigitalPulse>>,
  heats: {} as Partial<Record<FootName, HoofHeat>>,
  heartRate: "",
  respiration: "",
  temperature: "",
  bodyCondition: "",
  crestyNeck: "",
  signs: [] as readonly RedFlagSign[],
  notes: "",
});
type Draft = ReturnType<typeof firstDraft>;

const figure = (text: string): number | null => typedNumber(text) ?? null;

const bodyOf = (draft: Draft): Body<"examineHorse"> => ({
  examinedAt: draft.examinedAt,
  obelGrade: figure(draft.obel),
  lamenessGrade: figure(draft.lameness),
  fiveSignScore: figure(draft.fiveSign),
  digitalPulses: draft.pulses,
  hoofHeat: draft.heats,
  heartRatePerMinute: figure(draft.heartRate),
  respirationPerMinute: figure(draft.respiration),
  temperatureC: figure(draft.temperature),
  bodyCondition: figure(draft.bodyCondition),
  crestyNeck: figure(draft.crestyNeck),
  signs: [...draft.signs],
  notes: typedText(draft.notes) ?? null,
});

interface Part {
  readonly draft: Draft;
  readonly set: ReturnType<typeof useDraft<Draft>>[1];
}

const without = <V,>(record: Partial<Record<FootName, V>>, foot: FootName, value: V | "") => {
  const { [foot]: _left, ...rest } = record;
  return (value === "" ? rest : { ...rest, [foot]: value }) as Partial<Record<FootName, V>>;
};

const Grades = ({ draft, set }: Part) => {
  const { t } = useTranslation("examinations");
  return (
    <Card title={t("grades")}>
      <div className="columns">
        <SelectField
          label={t("obel")}
          name="obelGrade"
          value={draft.obel}
          onChange={set("obel")}
          emptyLabel={t("notGraded")}
          options={OBEL.map((one) => ({ value: one, label: t(`obelWords.${one}`) }))}
        />
        <NumberField
          label={t("fiveSign")}
          name="fiveSignScore"
          hint={t("fiveSignHint")}
          isOptional
          value={draft.fiveSign}
          onChange={set("fiveSign")}
        />
        <SelectField
          label={t("lameness")}
          name="lamenessGrade"
          value={draft.lameness}
          onChange={set("lameness")}
          emptyLabel={t("notGraded")}
          options={LAMENESS.map((one) => ({ value: one, label: t(`lamenessWords.${one}`) }))}
        />
      </div>
    </Card>
  );
};

const Feet = ({ draft, set }: Part) => {
  const { t } = useTranslation(["examinations", "common"]);
  return (
    <Card title={t("feet")}>
      <div className="columns">
        {FEET.map((foot) => (
          <fieldset key={foot} className="stack-tight" style={{ border: 0, margin: 0, padding: 0 }}>
            <legend>
              <strong>{t(`common:foot.${foot}`)}</strong>
            </legend>
            <SelectField<DigitalPulse>
              label={t("pulse")}
              value={draft.pulses[foot] ?? ""}
              onChange={(value) => set("pulses")(without(draft.pulses, foot, value))}
              emptyLabel={t("notFelt")}
              options={DIGITAL_PULSES.map((one) => ({ value: one, label: t(`pulses.${one}`) }))}
            />
            <SelectField<HoofHeat>
              label={t("heat")}
              value={draft.heats[foot] ?? ""}
              onChange={(value) => set("heats")(without(draft.heats, foot, value))}
              emptyLabel={t("notFelt")}
              options={HOOF_HEATS.map((one) => ({ value: one, label: t(`heats.${one}`) }))}
            />
          </fieldset>
        ))}
      </div>
    </Card>
  );
};

const Vitals = ({ draft, set }: Part) => {
  const { t } = useTranslation("examinations");
  return (
    <Card title={`${t("vital")}, ${t("condition").toLowerCase()}`}>
      <div className="columns">
        <NumberField
          label={t("heartRate")}
          name="heartRatePerMinute"
          unit={t("perMinute")}
          isOptional
          value={draft.heartRate}
          onChange={set("heartRate")}
        />
        <NumberField
          label={t("respiration")}
          name="respirationPerMinute"
          unit={t("perMinute")}
          isOptional
          value={draft.respiration}
          onChange={set("respiration")}
        />
        <NumberField
          label={t("temperature")}
          name="temperatureC"
          unit="°C"
          isOptional
          value={draft.temperature}
          onChange={set("temperature")}
        />
        <NumberField
          label={t("bodyCondition")}
          name="bodyCondition"
          hint={t("bodyConditionHint")}
          isOptional
          value={draft.bodyCondition}
          onChange={set("bodyCondition")}
        />
        <NumberField
          label={t("crestyNeck")}
          name="crestyNeck"
          hint={t("crestyNeckHint")}
          isOptional
          value={draft.crestyNeck}
          onChange={set("crestyNeck")}
        />
      </div>
    </Card>
  );
};

const ExamineForm = ({
  caseId,
  horseId,
  timeZone,
}: {
  readonly caseId: string;
  readonly horseId: string;
  readonly timeZone: string;
}) => {
  const { t } = useTranslation(["examinations", "watches", "common"]);
  const go = useGo();
  const examine = useWrite("examineHorse");
  const [draft, set] = useDraft(() => firstDraft(timeZone));
  const back = `/cases/${caseId}?tab=examinations`;
  const leave = () => go(back);
  if (examine.data?.findings.some((one) => one.rule === SUPPORT_LIMB_PROPOSAL))
    return (
      <Dialog title={t("watches:proposed")} isOpen onClose={leave}>
        <p>{t("watches:proposedText")}</p>
        <StartWatchForm
          horseId={horseId}
          lamenessGrade={examine.data.lamenessGrade ?? undefined}
          onDone={leave}
          onLeave={leave}
        />
      </Dialog>
    );
  return (
    <Form
      problem={examine.error}
      onSubmit={() =>
        examine.mutate(
          { params: { caseId }, body: bodyOf(draft) },
          {
            onSuccess: ({ findings }) => {
              if (!findings.some((one) => one.rule === SUPPORT_LIMB_PROPOSAL)) leave();
            },
          },
        )
      }
      footer={
        <>
          <Button look="primary" size="large" type="submit" isBusy={examine.isPending}>
            {t("save")}
          </Button>
          <Button look="quiet" onClick={leave}>
            {t("common:cancel")}
          </Button>
        </>
      }
    >
      <Grades draft={draft} set={set} />
      <Feet draft={draft} set={set} />
      <Vitals draft={draft} set={set} />
      <Card>
        <div className="stack">
          <ManyField
            label={t("signs")}
            hint={t("signsHint")}
            value={draft.signs}
            onChange={set("signs")}
            options={RED_FLAG_SIGNS.map((one) => ({ value: one, label: t(`signWords.${one}`) }))}
          />
          <TextArea
            label={t("notes")}
            name="notes"
            isOptional
            value={draft.notes}
            onChange={set("notes")}
          />
          <div className="columns">
            <MomentField
              label={t("when")}
              name="examinedAt"
              timeZone={timeZone}
              value={draft.examinedAt}
              onChange={set("examinedAt")}
            />
          </div>
        </div>
      </Card>
    </Form>
  );
};

/** A vet's examination of the horse of a case. */
export const ExaminePage = () => {
  const { t } = useTranslation("examinations");
  const caseId = useParam("caseId");
  const file = useCaseFile(caseId);
  return (
    <QueryView query={file} lines={8}>
      {({ horse }) => (
        <>
          <PageHeader
            title={t("of", { horse: horse.name })}
            back={{ href: `/cases/${caseId}`, label: horse.name }}
          />
          <ExamineForm caseId={caseId} horseId={horse.id} timeZone={horse.yard.timeZone} />
        </>
      )}
    </QueryView>
  );
};
