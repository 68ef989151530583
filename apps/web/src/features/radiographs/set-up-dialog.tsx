import type { RadiographView } from "@heelward/contracts";
import type { PositionCardItem } from "@heelward/domain/geometry";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { FeetPicker, type FootName } from "../../components/foot-diagram.tsx";
import { Form } from "../../components/form.tsx";
import { typedNumber } from "../../components/use-draft.ts";
import { type SetUp, SetUpFields } from "./set-up-fields.tsx";

/** Corrects what is known of how a film was taken; side and view only until they are confirmed. */
export const SetUpDialog = ({
  radiograph,
  onClose,
}: {
  readonly radiograph: RadiographView;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const change = useWrite("changeRadiograph");
  const [feet, setFeet] = useState<readonly FootName[]>([radiograph.foot]);
  const [setUp, setSetUp] = useState<SetUp>({
    wedgeDegrees: String(radiograph.wedgeDegrees),
    beamCentring: radiograph.beamCentring,
    shod: radiograph.shod ? "true" : "false",
    groundLineOn: radiograph.groundLineOn,
    positionCard: radiograph.positionCard as PositionCardItem[],
  });
  const isOpenSide = radiograph.sideConfirmedBy === null;
  const save = () => {
    const [foot] = feet;
    change.mutate(
      {
        params: { radiographId: radiograph.id },
        ifMatch: radiograph.version,
        body: {
          ...(isOpenSide && foot !== undefined ? { foot } : {}),
          wedgeDegrees: typedNumber(setUp.wedgeDegrees) ?? 0,
          beamCentring: setUp.beamCentring,
          shod: setUp.shod === "true",
          groundLineOn: setUp.groundLineOn,
          positionCard: [...setUp.positionCard],
        },
      },
      { onSuccess: onClose },
    );
  };
  return (
    <Dialog title={t("setUp")} isOpen isWide onClose={onClose}>
      <Form
        problem={change.error}
        onSubmit={save}
        footer={
          <>
            <Button look="primary" type="submit" isBusy={change.isPending}>
              {t("common:save")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        {isOpenSide ? (
          <FeetPicker label={t("whichFoot")} value={feet} onChange={setFeet} isSingle />
        ) : null}
        <SetUpFields value={setUp} onChange={setSetUp} />
      </Form>
    </Dialog>
  );
};
