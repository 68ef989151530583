import type { Horse, Weighing } from "@heelward/contracts";
import { GIRTH_DIVISORS } from "@heelward/domain/horse";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import type { Answer } from "../../api/operations.ts";
import { useWrite } from "../../api/use-call.ts";
import { Button } from "../../components/button.tsx";
import { Dialog } from "../../components/dialog.tsx";
import { ChoiceField, NumberField, TextField } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { MomentField } from "../../components/moment-field.tsx";
import { typedNumber, typedText, useDraft } from "../../components/use-draft.ts";
import { useFormat } from "../../language/format.ts";
import { nowIn } from "../../language/wall-clock.ts";

const METHODS = ["scale", "tape", "formula", "estimate"] as const;
type Method = Weighing["method"];

const FormulaFields = ({
  girth,
  length,
  setGirth,
  setLength,
}: {
  readonly girth: string;
  readonly length: string;
  readonly setGirth: (text: string) => void;
  readonly setLength: (text: string) => void;
}) => {
  const { t } = useTranslation("horses");
  const format = useFormat();
  const [girthCm, lengthCm] = [typedNumber(girth), typedNumber(length)];
  const kg =
    girthCm === undefined || lengthCm === undefined
      ? undefined
      : (girthCm * girthCm * lengthCm) / GIRTH_DIVISORS.usual;
  return (
    <>
      <div className="columns">
        <NumberField
          label={t("girth")}
          name="girthCm"
          unit="cm"
          hint={t("girthHint")}
          required
          value={girth}
          onChange={setGirth}
        />
        <NumberField
          label={t("length")}
          name="lengthCm"
          unit="cm"
          hint={t("lengthHint")}
          required
          value={length}
          onChange={setLength}
        />
      </div>
      <p aria-live="polite">
        {kg === undefined ? null : (
          <strong>{t("formulaSays", { kg: format.number(kg, 0) })}</strong>
        )}
      </p>
      <p className="quiet small">{t("formulaSource")}</p>
    </>
  );
};

/** What the weighing changed: how far from the last, which courses are held, what to do. */
const Result = ({
  answer,
  onClose,
}: {
  readonly answer: Answer<"weighHorse">;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["horses", "common"]);
  const format = useFormat();
  return (
    <div className="stack">
      <p>
        <strong>
          {format.number(answer.weightKg, 0)} kg (
          {t("between", {
            low: format.number(answer.lowKg, 0),
            high: format.number(answer.highKg, 0),
          })}
          )
        </strong>
        {answer.changePercent === null
          ? null
          : ` · ${t("weightChange", { percent: format.number(answer.changePercent) })}`}
      </p>
      {answer.heldCourseIds.length === 0 ? null : (
        <p>{t("coursesHeld", { count: answer.heldCourseIds.length })}</p>
      )}
      {answer.messages.map((message) => (
        <p key={message}>{message}</p>
      ))}
      <div className="row">
        <Button look="primary" onClick={onClose}>
          {t("common:close")}
        </Button>
      </div>
    </div>
  );
};

/** Records a weighing; every open course is checked against it at once by the service. */
export const WeighDialog = ({
  horse,
  onClose,
}: {
  readonly horse: Horse;
  readonly onClose: () => void;
}) => {
  const { t } = useTranslation(["horses", "common"]);
  const zone = horse.yard.timeZone;
  const weigh = useWrite("weighHorse");
  const [method, setMethod] = useState<Method>("scale");
  const [draft, set] = useDraft(() => ({
    weight: "",
    girth: "",
    length: "",
    weighedAt: nowIn(zone),
    note: "",
  }));
  const note = typedText(draft.note);
  const send = () => {
    const measured =
      method === "formula"
        ? { girthCm: typedNumber(draft.girth), lengthCm: typedNumber(draft.length) }
        : { weightKg: typedNumber(draft.weight) };
    weigh.mutate({
      params: { horseId: horse.id },
      body: { method, ...measured, weighedAt: draft.weighedAt, ...(note && { note }) },
    });
  };
  if (weigh.data !== undefined)
    return (
      <Dialog title={t("saved")} isOpen onClose={onClose}>
        <Result answer={weigh.data} onClose={onClose} />
      </Dialog>
    );
  return (
    <Dialog title={`${t("weighTitle")}: ${horse.name}`} isOpen onClose={onClose}>
      <Form
        problem={weigh.error}
        onSubmit={send}
        footer={
          <>
            <Button look="primary" type="submit" isBusy={weigh.isPending}>
              {t("common:save")}
            </Button>
            <Button look="quiet" onClick={onClose}>
              {t("common:cancel")}
            </Button>
          </>
        }
      >
        <ChoiceField
          label={t("method")}
          name="method"
          value={method}
          onChange={setMethod}
          options={METHODS.filter((one) => one !== "formula" || horse.type !== "donkey").map(
            (one) => ({ value: one, label: t(`methods.${one}`) }),
          )}
        />
        {method === "formula" ? (
          <FormulaFields
            girth={draft.girth}
            length={draft.length}
            setGirth={set("girth")}
            setLength={set("length")}
          />
        ) : (
          <NumberField
            label={t("weight")}
            name="weightKg"
            unit="kg"
            required
            hint={method === "estimate" ? t("estimateCaution") : undefined}
            value={draft.weight}
            onChange={set("weight")}
          />
        )}
        <MomentField
          label={t("weighedAt")}
          name="weighedAt"
          timeZone={zone}
          value={draft.weighedAt}
          onChange={set("weighedAt")}
        />
        <TextField
          label={t("note")}
          name="note"
          isOptional
          value={draft.note}
          onChange={set("note")}
        />
      </Form>
    </Dialog>
  );
};
