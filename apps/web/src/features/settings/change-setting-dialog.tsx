import { useTranslation } from "react-i18next";
import type { Answer } from "../../api/operations.ts";
import { useWrite } from "../../api/use-call.ts";
import { useCurrent } from "../../app/current-session.tsx";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { NumberField, TextArea, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { typedNumber, useDraft } from "../../components/use-draft.ts";
import { todayIn } from "../../language/format.ts";

export type Figure = Answer<"listSettings">["items"][number];

/** A new value from a day on, with where it comes from. */
export const ChangeSettingDialog = ({
  figure,
  onClose,
}: {
  readonly figure: Figure;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["settings", "common"]);
  const { session } = useCurrent();
  const change = useWrite("changeSetting");
  const [draft, set] = useDraft(() => ({
    value: typeof figure.value === "number" ? String(figure.value) : "",
    since: todayIn(session.practice.timeZone),
    source: "",
  }));
  return (
    <Dialog title={t("changeTitle", { label: figure.label })} isOpen onClose={onClose}>
      <Form
        problem={change.error}
        onSubmit={() =>
          change.mutate(
            {
              body: {
                key: figure.key,
                value: typedNumber(draft.value) ?? Number.NaN,
                since: draft.since,
                source: draft.source,
              },
            },
            { onSuccess: onClose },
          )
        }
        footer={
          <>
            <Button type="submit" look="primary" isBusy={change.isPending}>
              {t("save")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <div className="columns">
          <NumberField
            label={t("newValue")}
            name="value"
            unit={figure.unit}
            hint={
              figure.stricter === null
                ? undefined
                : `${t("changes.tighten")}: ${t(`stricter.${figure.stricter}`)}`
            }
            value={draft.value}
            onChange={set("value")}
          />
          <TextField
            label={t("from")}
            name="since"
            type="date"
            value={draft.since}
            onChange={set("since")}
          />
        </div>
        <TextArea
          label={t("source")}
          name="source"
          rows={3}
          hint={t("sourceHint")}
          value={draft.source}
          onChange={set("source")}
        />
        <p className="quiet">{t("stepUp")}</p>
      </Form>
    </Dialog>
  );
};
