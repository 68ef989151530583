import { SendHorizontal } from "lucide-react";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { useWrite } from "../api/use-call.ts";
import { useCurrent } from "../app/current-session.tsx";
import { Button } from "../components/button.tsx";
import { Dialog } from "../components/dialog.tsx";
import { CheckField, ChoiceField, SelectField, TextArea, TextField } from "../components/field.tsx";
import { Form } from "../components/form.tsx";
import type { Choice } from "../components/picker.tsx";
import { typedText, useDraft } from "../components/use-draft.ts";
import { HorsePicker } from "./horse-picker.tsx";
import { usePeopleOf } from "./people.ts";

const TO = ["vet", "farrier", "manager", "carer"] as const;
type To = (typeof TO)[number];

/** Writes a note to another role about one horse. */
export const WriteNoteDialog = ({
  horse,
  onClose,
}: {
  /** The horse, when it is known from the page. */
  readonly horse?: Choice;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["handoffs", "common"]);
  const { role } = useCurrent();
  const write = useWrite("writeHandoffNote");
  const [chosen, setChosen] = useState<Choice | null>(horse ?? null);
  const [wasSent, setSent] = useState(false);
  const [draft, set] = useDraft({
    toRole: (role === "vet" ? "farrier" : "vet") as To,
    toPersonId: "",
    urgent: false,
    situation: "",
    found: "",
    done: "",
    mustDo: "",
    byWhen: "",
    callMeIf: "",
  });
  const people = usePeopleOf(draft.toRole);
  const send = () => {
    setSent(true);
    if (chosen === null) return;
    const [found, done, callMeIf, byWhen] = [
      draft.found,
      draft.done,
      draft.callMeIf,
      draft.byWhen,
    ].map(typedText);
    write.mutate(
      {
        body: {
          horseId: chosen.id,
          toRole: draft.toRole,
          urgent: draft.urgent,
          situation: draft.situation,
          mustDo: draft.mustDo,
          ...(draft.toPersonId !== "" && { toPersonId: draft.toPersonId }),
          ...(found && { found }),
          ...(done && { done }),
          ...(callMeIf && { callMeIf }),
          ...(byWhen && { byWhen }),
        },
      },
      { onSuccess: onClose },
    );
  };
  return (
    <Dialog title={t("write")} isOpen isWide onClose={onClose}>
      <Form
        problem={write.error}
        onSubmit={send}
        footer={
          <>
            <Button
              look="primary"
              type="submit"
              icon={<SendHorizontal aria-hidden />}
              isBusy={write.isPending}
            >
              {t("send")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        {horse === undefined ? (
          <HorsePicker label={t("horse")} value={chosen} onChoose={setChosen} />
        ) : (
          <p>
            <strong>{horse.name}</strong>
          </p>
        )}
        {wasSent && chosen === null ? <p role="alert">{t("chooseHorse")}</p> : null}
        <ChoiceField
          label={t("to")}
          name="toRole"
          value={draft.toRole}
          onChange={(toRole) => {
            set("toRole")(toRole);
            set("toPersonId")("");
          }}
          options={TO.map((one) => ({ value: one, label: t(`common:role.${one}`) }))}
        />
        <SelectField
          label={t("toPerson")}
          name="toPersonId"
          value={draft.toPersonId}
          onChange={set("toPersonId")}
          emptyLabel={t("anyone")}
          options={people.map((one) => ({ value: one.id, label: one.name }))}
        />
        <TextArea
          label={t("situation")}
          name="situation"
          hint={t("situationHint")}
          required
          value={draft.situation}
          onChange={set("situation")}
        />
        <TextArea
          label={t("mustDo")}
          name="mustDo"
          hint={t("mustDoHint")}
          required
          value={draft.mustDo}
          onChange={set("mustDo")}
        />
        <div className="columns">
          <TextArea
            label={t("found")}
            name="found"
            hint={t("foundHint")}
            isOptional
            value={draft.found}
            onChange={set("found")}
          />
          <TextArea
            label={t("done")}
            name="done"
            isOptional
            value={draft.done}
            onChange={set("done")}
          />
        </div>
        <div className="columns">
          <TextField
            label={t("byWhen")}
            name="byWhen"
            hint={t("byWhenHint")}
            isOptional
            value={draft.byWhen}
            onChange={set("byWhen")}
          />
          <TextArea
            label={t("callMeIf")}
            name="callMeIf"
            isOptional
            value={draft.callMeIf}
            onChange={set("callMeIf")}
          />
        </div>
        <CheckField label={t("urgent")} value={draft.urgent} onChange={set("urgent")} />
      </Form>
    </Dialog>
  );
};
