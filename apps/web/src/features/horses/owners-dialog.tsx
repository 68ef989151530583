import type { Horse } from "@heelward/contracts";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { ManyField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { usePeopleOf } from "../../parts/people.ts";

/** Says who owns a horse; they then see it in their own pages. */
export const OwnersDialog = ({
  horse,
  onClose,
}: {
  readonly horse: Horse;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["horses", "common"]);
  const save = useWrite("setHorseOwners");
  const people = usePeopleOf("owner");
  const [chosen, setChosen] = useState<readonly string[]>(horse.owners.map((one) => one.id));
  return (
    <Dialog title={t("setOwners")} isOpen onClose={onClose}>
      <Form
        problem={save.error}
        onSubmit={() =>
          save.mutate(
            {
              params: { horseId: horse.id },
              ifMatch: horse.version,
              body: { personIds: [...chosen] },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <Button look="primary" type="submit" isBusy={save.isPending}>
            {t("common:save")}
          </Button>
        }
      >
        <ManyField
          label={t("owners")}
          value={chosen}
          onChange={setChosen}
          options={people.map((one) => ({ value: one.id, label: one.name }))}
        />
      </Form>
    </Dialog>
  );
};
