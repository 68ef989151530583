import type { Procedure } from "@heelward/contracts";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { ChoiceField, TextArea, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { MomentField } from "../../components/moment-field.tsx";
import { useTimeZone } from "../../language/time-zone.ts";
import { nowIn } from "../../language/wall-clock.ts";
import { PhotoPicker } from "../../parts/photo-picker.tsx";
import { aftercareOf } from "./aftercare.ts";

interface Props {
  readonly procedure: Procedure;
  readonly onClose: () => void;
}

/** Kind and foot as they read inside a heading; every language writes its own. */
const useWhat = ({ kind, foot }: Procedure) => {
  const { t } = useTranslation(["procedures", "common"]);
  return { kind: t(`within.${kind}`), foot: t(`common:footWithin.${foot}`) };
};

/** Asks for a procedure; nothing may be done on a request. */
export const AskDialog = ({
  caseId,
  onClose,
}: {
  readonly caseId: string;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["procedures", "common"]);
  const ask = useWrite("requestProcedure");
  const [kind, setKind] = useState<Procedure["kind"]>("drainage");
  const [foot, setFoot] = useState<Procedure["foot"] | "">("");
  const [reason, setReason] = useState("");
  return (
    <Dialog title={t("askTitle")} isOpen onClose={onClose}>
      <Form
        problem={ask.error}
        onSubmit={() => {
          if (foot !== "")
            ask.mutate(
              { params: { caseId }, body: { kind, foot, reason } },
              { onSuccess: onClose },
            );
        }}
        footer={
          <Button
            look="primary"
            type="submit"
            disabled={foot === "" || reason.trim() === ""}
            isBusy={ask.isPending}
          >
            {t("ask")}
          </Button>
        }
      >
        <ChoiceField<Procedure["kind"]>
          label={t("kind")}
          value={kind}
          onChange={setKind}
          options={(["drainage", "resection"] as const).map((one) => ({
            value: one,
            label: t(`kinds.${one}`),
          }))}
        />
        <ChoiceField<Procedure["foot"]>
          label={t("foot")}
          value={foot}
          onChange={setFoot}
          options={(["LF", "RF", "LH", "RH"] as const).map((one) => ({
            value: one,
            label: t(`common:foot.${one}`),
          }))}
        />
        <TextArea
          label={t("reason")}
          name="reason"
          maxLength={1000}
          required
          value={reason}
          onChange={setReason}
        />
      </Form>
    </Dialog>
  );
};

/** A vet orders it with the owner's consent and the aftercare. */
export const OrderDialog = ({ procedure, onClose }: Props) => {
  const { t } = useTranslation(["procedures", "common"]);
  const what = useWhat(procedure);
  const timeZone = useTimeZone();
  const order = useWrite("signProcedure");
  const [by, setBy] = useState("");
  const [text, setText] = useState("");
  const [at, setAt] = useState(() => nowIn(timeZone));
  const [lines, setLines] = useState("");
  const aftercare = aftercareOf(lines);
  return (
    <Dialog title={t("orderTitle", what)} isOpen onClose={onClose}>
      <Form
        problem={order.error}
        onSubmit={() =>
          order.mutate(
            {
              params: { procedureId: procedure.id },
              ifMatch: procedure.version,
              body: {
                consent: { by, text, at },
                aftercare: aftercare.map((one) => one.line),
                aftercareDays: aftercare.map((one) => one.day),
              },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <Button
            look="primary"
            type="submit"
            disabled={by.trim() === "" || text.trim() === "" || aftercare.length === 0}
            isBusy={order.isPending}
          >
            {t("sign")}
          </Button>
        }
      >
        <p className="quiet small">{t("caution")}</p>
        <TextField
          label={t("consentName")}
          name="consent/by"
          maxLength={120}
          required
          value={by}
          onChange={setBy}
        />
        <TextArea
          label={t("consentText")}
          name="consent/text"
          maxLength={2000}
          required
          value={text}
          onChange={setText}
        />
        <MomentField label={t("consentAt")} name="consent/at" value={at} onChange={setAt} />
        <TextArea
          label={t("aftercareLines")}
          name="aftercare"
          hint={t("aftercareHint")}
          required
          value={lines}
          onChange={setLines}
        />
      </Form>
    </Dialog>
  );
};

/** It was done: what was found, with photos. */
export const RecordDialog = ({ procedure, onClose }: Props) => {
  const { t } = useTranslation(["procedures", "common"]);
  const what = useWhat(procedure);
  const timeZone = useTimeZone();
  const record = useWrite("recordProcedure");
  const [doneAt, setDoneAt] = useState(() => nowIn(timeZone));
  const [found, setFound] = useState("");
  const [photoIds, setPhotoIds] = useState<readonly string[]>([]);
  return (
    <Dialog title={t("recordTitle", what)} isOpen onClose={onClose}>
      <Form
        problem={record.error}
        onSubmit={() =>
          record.mutate(
            {
              params: { procedureId: procedure.id },
              ifMatch: procedure.version,
              body: { doneAt, found, photoIds: [...photoIds] },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <Button
            look="primary"
            type="submit"
            disabled={found.trim() === ""}
            isBusy={record.isPending}
          >
            {t("record")}
          </Button>
        }
      >
        <MomentField label={t("doneAt")} name="doneAt" value={doneAt} onChange={setDoneAt} />
        <TextArea
          label={t("foundLabel")}
          name="found"
          maxLength={2000}
          required
          value={found}
          onChange={setFound}
        />
        <PhotoPicker
          horseId={procedure.horseId}
          ids={photoIds}
          onAdd={(id) => setPhotoIds((before) => [...before, id])}
        />
      </Form>
    </Dialog>
  );
};

/** A vet decides against it, with the reason. */
export const DeclineDialog = ({ procedure, onClose }: Props) => {
  const { t } = useTranslation(["procedures", "common"]);
  const what = useWhat(procedure);
  const decline = useWrite("declineProcedure");
  const [reason, setReason] = useState("");
  return (
    <Dialog title={t("declineTitle", what)} isOpen onClose={onClose}>
      <Form
        problem={decline.error}
        onSubmit={() =>
          decline.mutate(
            { params: { procedureId: procedure.id }, ifMatch: procedure.version, body: { reason } },
            { onSuccess: onClose },
          )
        }
        footer={
          <Button
            look="danger"
            type="submit"
            disabled={reason.trim() === ""}
            isBusy={decline.isPending}
          >
            {t("decline")}
          </Button>
        }
      >
        <TextArea
          label={t("declineReason")}
          name="reason"
          maxLength={1000}
          required
          value={reason}
          onChange={setReason}
        />
      </Form>
    </Dialog>
  );
};
