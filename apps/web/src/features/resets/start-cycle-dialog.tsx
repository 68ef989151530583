import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useCurrent } from "../../app/current-session.tsx";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { NumberField, SelectField, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import type { Choice } from "../../components/picker.tsx";
import { typedNumber, useDraft } from "../../components/use-draft.ts";
import { todayIn } from "../../language/format.ts";
import { HorsePicker } from "../../parts/horse-picker.tsx";
import { usePeopleOf } from "../../parts/people.ts";

/** Starts the reset cycle of a horse from its last trim. */
export const StartCycleDialog = ({ onClose }: { readonly onClose: () => void }) => {
  const { t } = useTranslation(["resets", "common"]);
  const { session } = useCurrent();
  const start = useWrite("startResetCycle");
  const farriers = usePeopleOf("farrier");
  const [horse, setHorse] = useState<Choice | null>(null);
  const [draft, set] = useDraft(() => ({
    lastDoneOn: todayIn(session.practice.timeZone),
    intervalDays: "28",
    farrierId: "",
  }));
  return (
    <Dialog title={t("startCycle")} isOpen onClose={onClose}>
      <Form
        problem={start.error}
        onSubmit={() => {
          if (horse === null) return;
          start.mutate(
            {
              params: { horseId: horse.id },
              body: {
                lastDoneOn: draft.lastDoneOn,
                intervalDays: typedNumber(draft.intervalDays) ?? Number.NaN,
                ...(draft.farrierId === "" ? {} : { farrierId: draft.farrierId }),
              },
            },
            { onSuccess: onClose },
          );
        }}
        footer={
          <>
            <Button type="submit" look="primary" disabled={horse === null} isBusy={start.isPending}>
              {t("startCycle")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <HorsePicker label={t("horse")} value={horse} onChoose={setHorse} />
        <div className="columns">
          <TextField
            label={t("last")}
            name="lastDoneOn"
            type="date"
            value={draft.lastDoneOn}
            onChange={set("lastDoneOn")}
          />
          <NumberField
            label={t("intervalField")}
            name="intervalDays"
            value={draft.intervalDays}
            onChange={set("intervalDays")}
          />
        </div>
        <SelectField
          label={t("farrier")}
          name="farrierId"
          isOptional
          value={draft.farrierId}
          onChange={set("farrierId")}
          emptyLabel={t("horsesFarrier")}
          options={farriers.map((one) => ({ value: one.id, label: one.name }))}
        />
      </Form>
    </Dialog>
  );
};
