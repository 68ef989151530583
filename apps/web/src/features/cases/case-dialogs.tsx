import type { CaseView } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { ChoiceField, SelectField, TextArea, TextField } from "../../components/field.tsx";
import { FeetPicker, type FootName } from "../../components/foot-diagram.tsx";
import { Form } from "../../components/form.tsx";
import { MomentField } from "../../components/moment-field.tsx";
import { typedText, useDraft } from "../../components/use-draft.ts";
import { usePeopleOf } from "../../parts/people.ts";

interface Props {
  readonly one: CaseView;
  readonly onClose: () => void;
}

const PHASES = ["acute", "subacute", "chronic active", "maintenance"] as const;
const TO = ["farrier", "carer", "manager", "vet"] as const;

/** Moves a case to another phase; the note about it goes out with it. */
export const PhaseDialog = ({ one, onClose }: Props) => {
  const { t } = useTranslation(["cases", "common"]);
  const move = useWrite("changePhase");
  const [draft, set] = useDraft({
    phase: "" as (typeof PHASES)[number] | "",
    reason: "",
    noteTo: "farrier" as (typeof TO)[number],
    mustDo: "",
  });
  return (
    <Dialog title={t("changePhase")} isOpen onClose={onClose}>
      <Form
        problem={move.error}
        onSubmit={() => {
          const { phase, ...rest } = draft;
          if (phase !== "")
            move.mutate(
              { params: { caseId: one.id }, ifMatch: one.version, body: { phase, ...rest } },
              { onSuccess: onClose },
            );
        }}
        footer={
          <Button
            look="primary"
            type="submit"
            disabled={draft.phase === ""}
            isBusy={move.isPending}
          >
            {t("common:save")}
          </Button>
        }
      >
        <ChoiceField
          label={t("newPhase")}
          name="phase"
          value={draft.phase}
          onChange={set("phase")}
          options={PHASES.filter((phase) => phase !== one.phase).map((phase) => ({
            value: phase,
            label: t(`common:phase.${phase}`),
          }))}
        />
        <TextArea
          label={t("reason")}
          name="reason"
          required
          value={draft.reason}
          onChange={set("reason")}
        />
        <ChoiceField
          label={t("noteTo")}
          name="noteTo"
          hint={t("phaseHint")}
          value={draft.noteTo}
          onChange={set("noteTo")}
          options={TO.map((role) => ({ value: role, label: t(`common:role.${role}`) }))}
        />
        <TextArea
          label={t("mustDo")}
          name="mustDo"
          required
          value={draft.mustDo}
          onChange={set("mustDo")}
        />
      </Form>
    </Dialog>
  );
};

const CONFIDENCES = ["suspected", "likely", "confirmed"] as const;

/** Changes what is known of a case: cause and how sure, dates, feet, the vet in charge. */
export const KnownDialog = ({ one, onClose }: Props) => {
  const { t } = useTranslation(["cases", "common"]);
  const change = useWrite("changeCase");
  const vets = usePeopleOf("vet");
  const [draft, set] = useDraft({
    cause: one.cause ?? "",
    causeConfidence: one.causeConfidence ?? ("" as const),
    onsetAt: one.onsetAt ?? "",
    displacedAt: one.displacedAt ?? "",
    soundWithoutReliefSince: one.soundWithoutReliefSince ?? "",
    feet: one.feetAffected as readonly FootName[],
    summary: one.summary ?? "",
    leadVetId: one.leadVet?.id ?? "",
  });
  return (
    <Dialog title={t("changeTitle")} isOpen isWide onClose={onClose}>
      <Form
        problem={change.error}
        onSubmit={() =>
          change.mutate(
            {
              params: { caseId: one.id },
              ifMatch: one.version,
              body: {
                cause: typedText(draft.cause) ?? null,
                causeConfidence: draft.causeConfidence === "" ? null : draft.causeConfidence,
                onsetAt: typedText(draft.onsetAt) ?? null,
                displacedAt: typedText(draft.displacedAt) ?? null,
                soundWithoutReliefSince: typedText(draft.soundWithoutReliefSince) ?? null,
                feetAffected: [...draft.feet],
                summary: typedText(draft.summary) ?? null,
                leadVetId: typedText(draft.leadVetId) ?? null,
              },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <Button look="primary" type="submit" isBusy={change.isPending}>
            {t("common:save")}
          </Button>
        }
      >
        <div className="columns">
          <div className="stack">
            <TextField
              label={t("cause")}
              name="cause"
              isOptional
              value={draft.cause}
              onChange={set("cause")}
            />
            <ChoiceField
              label={t("confidenceLabel")}
              name="causeConfidence"
              value={draft.causeConfidence}
              onChange={set("causeConfidence")}
              options={CONFIDENCES.map((value) => ({ value, label: t(`confidence.${value}`) }))}
            />
            <MomentField
              label={t("onset")}
              name="onsetAt"
              isOptional
              value={draft.onsetAt}
              onChange={set("onsetAt")}
            />
            <MomentField
              label={t("displaced")}
              name="displacedAt"
              isOptional
              value={draft.displacedAt}
              onChange={set("displacedAt")}
            />
            <TextField
              label={t("sound")}
              name="soundWithoutReliefSince"
              type="date"
              isOptional
              value={draft.soundWithoutReliefSince}
              onChange={set("soundWithoutReliefSince")}
            />
          </div>
          <div className="stack">
            <FeetPicker label={t("feetAffected")} value={draft.feet} onChange={set("feet")} />
            <SelectField
              label={t("leadVet")}
              name="leadVetId"
              value={draft.leadVetId}
              onChange={set("leadVetId")}
              emptyLabel={t("noVet")}
              options={vets.map((vet) => ({ value: vet.id, label: vet.name }))}
            />
            <TextArea
              label={t("summary")}
              name="summary"
              isOptional
              value={draft.summary}
              onChange={set("summary")}
            />
          </div>
        </div>
      </Form>
    </Dialog>
  );
};
