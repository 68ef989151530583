import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useGo } from "../../app/use-address.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { SelectField, TextField } from "../../components/field.tsx";
import { FeetPicker, type FootName } from "../../components/foot-diagram.tsx";
import { Form } from "../../components/form.tsx";
import { MomentField } from "../../components/moment-field.tsx";
import type { Choice } from "../../components/picker.tsx";
import { typedText, useDraft } from "../../components/use-draft.ts";
import { HorsePicker } from "../../parts/horse-picker.tsx";
import { usePeopleOf } from "../../parts/people.ts";

const PHASES = ["acute", "subacute", "chronic active", "maintenance"] as const;

/** Opens a case for a horse that came another way than by a phone call. */
export const OpenCaseDialog = ({ onClose }: { readonly onClose: () => void }) => {
  const { t } = useTranslation(["cases", "common"]);
  const go = useGo();
  const open = useWrite("openCase");
  const vets = usePeopleOf("vet");
  const [horse, setHorse] = useState<Choice | null>(null);
  const [draft, set] = useDraft({
    phase: "acute" as (typeof PHASES)[number],
    onsetAt: "",
    cause: "",
    leadVetId: "",
    feet: [] as readonly FootName[],
  });
  const cause = typedText(draft.cause);
  return (
    <Dialog title={t("openTitle")} isOpen onClose={onClose}>
      <Form
        problem={open.error}
        onSubmit={() => {
          if (horse !== null)
            open.mutate(
              {
                body: {
                  horseId: horse.id,
                  phase: draft.phase,
                  feetAffected: [...draft.feet],
                  ...(cause && { cause }),
                  ...(draft.onsetAt !== "" && { onsetAt: draft.onsetAt }),
                  ...(draft.leadVetId !== "" && { leadVetId: draft.leadVetId }),
                },
              },
              { onSuccess: (one) => go(`/cases/${one.id}`) },
            );
        }}
        footer={
          <Button look="primary" type="submit" disabled={horse === null} isBusy={open.isPending}>
            {t("open")}
          </Button>
        }
      >
        <HorsePicker label={t("horse")} value={horse} onChoose={setHorse} />
        <SelectField
          label={t("phase")}
          name="phase"
          value={draft.phase}
          onChange={(phase) => set("phase")(phase === "" ? "acute" : phase)}
          options={PHASES.map((one) => ({ value: one, label: t(`common:phase.${one}`) }))}
        />
        <FeetPicker label={t("feetAffected")} value={draft.feet} onChange={set("feet")} />
        <MomentField
          label={t("onset")}
          name="onsetAt"
          isOptional
          value={draft.onsetAt}
          onChange={set("onsetAt")}
        />
        <TextField
          label={t("cause")}
          name="cause"
          isOptional
          value={draft.cause}
          onChange={set("cause")}
        />
        <SelectField
          label={t("leadVet")}
          name="leadVetId"
          value={draft.leadVetId}
          onChange={set("leadVetId")}
          emptyLabel={t("noVet")}
          options={vets.map((one) => ({ value: one.id, label: one.name }))}
        />
      </Form>
    </Dialog>
  );
};
