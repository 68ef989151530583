import { useTranslation } from "react-i18next";
import { DecimalField } from "../../../components/decimal-field.tsx";
import { CheckField, TextField } from "../../../components/field.tsx";
import type { PlanContent } from "../plan/plan-draft.ts";

type Conditions = PlanContent["conditions"];

type Trial = NonNullable<Conditions["trial"]>;

/** Two weeks show on a film what a wish does not. House rule, changed by the vet at once. */
const NEW_TRIAL: Trial = { question: "", vetWouldChange: "", farrierWouldChange: "", days: 14 };

/** Where vet and farrier see it differently: the question, what would change each mind, and an end. */
const TrialFields = ({
  value,
  onChange,
}: {
  readonly value: Trial;
  readonly onChange: (trial: Trial) => void;
}) => {
  const { t } = useTranslation("prescriptions");
  return (
    <>
      <div className="columns">
        {(["question", "vetWouldChange", "farrierWouldChange"] as const).map((name) => (
          <TextField
            key={name}
            label={t(`trial.${name}`)}
            name={`conditions/trial/${name}`}
            maxLength={300}
            required
            value={value[name]}
            onChange={(text) => onChange({ ...value, [name]: text })}
          />
        ))}
        <DecimalField
          label={t("trial.days")}
          name="conditions/trial/days"
          unit={t("daysUnit")}
          value={value.days}
          onChange={(days) =>
            days === null ? undefined : onChange({ ...value, days: Math.round(days) })
          }
        />
      </div>
      <p className="quiet small">{t("trial.hint")}</p>
    </>
  );
};

/** What must be there for the work to be done, and when to stop. */
export const ConditionsFields = ({
  value,
  hasWedge,
  onChange,
}: {
  readonly value: Conditions;
  readonly hasWedge: boolean;
  readonly onChange: (conditions: Conditions) => void;
}) => {
  const { t } = useTranslation("prescriptions");
  const text = (name: "surface" | "stopRule") => (typed: string) => {
    const { [name]: _, ...rest } = value;
    onChange(typed === "" ? rest : { ...rest, [name]: typed });
  };
  return (
    <div className="stack-tight">
      <div className="columns">
        {(["emergency", "vetPresent", "nerveBlock", "handler"] as const).map((name) => (
          <CheckField
            key={name}
            label={t(name)}
            value={value[name] ?? false}
            onChange={(isOn) => onChange({ ...value, [name]: isOn })}
          />
        ))}
      </div>
      <div className="columns">
        <TextField
          label={t("surface")}
          name="conditions/surface"
          isOptional
          maxLength={200}
          value={value.surface ?? ""}
          onChange={text("surface")}
        />
        <TextField
          label={t("stopRule")}
          name="conditions/stopRule"
          isOptional
          maxLength={300}
          hint={t("stopRuleHint")}
          value={value.stopRule ?? ""}
          onChange={text("stopRule")}
        />
        {hasWedge ? (
          <DecimalField
            label={t("wedgeTrial")}
            name="conditions/wedgeTrialDays"
            unit={t("daysUnit")}
            value={value.wedgeTrialDays ?? null}
            onChange={(days) => {
              const { wedgeTrialDays: _, ...rest } = value;
              onChange(days === null ? rest : { ...rest, wedgeTrialDays: Math.round(days) });
            }}
          />
        ) : null}
      </div>
      <CheckField
        label={t("trial.has")}
        value={value.trial !== undefined}
        onChange={(isOn) => {
          const { trial: _, ...rest } = value;
          onChange(isOn ? { ...rest, trial: NEW_TRIAL } : rest);
        }}
      />
      {value.trial === undefined ? null : (
        <TrialFields value={value.trial} onChange={(trial) => onChange({ ...value, trial })} />
      )}
    </div>
  );
};
