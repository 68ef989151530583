import type { RadiographView } from "@heelward/contracts";
import { UserRoundCheck, UserRoundSearch } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { useCurrent } from "../../app/current-session.tsx";
import { Button } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { FeetPicker, type FootName } from "../../components/foot-diagram.tsx";
import { Form } from "../../components/form.tsx";
import { useFormat } from "../../language/format.ts";

/** Left and right, confirmed by somebody who did not add the film: they say which foot they see. */
export const SideConfirmation = ({ radiograph }: { readonly radiograph: RadiographView }) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const { session } = useCurrent();
  const format = useFormat();
  const confirm = useWrite("confirmSide");
  const [feet, setFeet] = useState<readonly FootName[]>([]);
  const [foot] = feet;
  const { sideConfirmedBy, sideConfirmedAt } = radiograph;
  if (sideConfirmedBy !== null && sideConfirmedAt !== null)
    return (
      <p className="quiet small row">
        <UserRoundCheck aria-hidden width="1.1em" />
        {t("sideConfirmed", {
          foot: t(`common:foot.${radiograph.foot}`),
          name: sideConfirmedBy.name,
          when: format.dateTime(sideConfirmedAt),
        })}
      </p>
    );
  if (session.person.id === radiograph.addedBy.id)
    return (
      <Card title={t("sideTitle")}>
        <p>{t("sideBySecond")}</p>
      </Card>
    );
  return (
    <Card title={t("sideTitle")}>
      <Form
        problem={confirm.error}
        onSubmit={() => {
          if (foot === undefined) return;
          confirm.mutate({
            params: { radiographId: radiograph.id },
            body: { foot },
            ifMatch: radiograph.version,
          });
        }}
        footer={
          <Button
            look="primary"
            type="submit"
            icon={<UserRoundSearch aria-hidden />}
            disabled={foot === undefined}
            isBusy={confirm.isPending}
          >
            {t("sideConfirm")}
          </Button>
        }
      >
        <p>{t("sideAsk", { name: radiograph.addedBy.name })}</p>
        <FeetPicker label={t("whichFoot")} value={feet} onChange={setFeet} isSingle />
      </Form>
    </Card>
  );
};
