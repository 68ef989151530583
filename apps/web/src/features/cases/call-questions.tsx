import { useTranslation } from "react-i18next";
import type { Body } from "../../api/operations.ts";
import { ChoiceField, NumberField } from "../../components/field.tsx";
import { typedNumber } from "../../components/use-draft.ts";
import styles from "./phone-call.module.css";

/** What has been answered; left out means nobody knows yet. */
export type CallAnswers = Body<"judgePhoneCall">["answers"];

type YesNo =
  | "suddenThreeLeggedLameness"
  | "allFourFeetSore"
  | "colicDiarrhoeaOrOffFood"
  | "grainBreakIn"
  | "otherLegInjured"
  | "steroidLately"
  | "shiftsWeight"
  | "leansBack"
  | "feetWarm"
  | "pulsesStrong"
  | "knownInsulinTroubleOrPpid";

const MOVES = ["freely", "stiffly", "only when forced", "not at all"] as const;
const LIFTS = ["easily", "with difficulty", "no"] as const;

interface Props {
  readonly answers: CallAnswers;
  readonly onChange: (answers: CallAnswers) => void;
}

const YesNoQuestion = ({ name, answers, onChange }: Props & { readonly name: YesNo }) => {
  const { t } = useTranslation(["cases", "common"]);
  const value = answers[name];
  return (
    <ChoiceField
      label={t(`call.${name}`)}
      value={value === undefined ? "unknown" : value ? "yes" : "no"}
      onChange={(next) => {
        const { [name]: _before, ...rest } = answers;
        onChange(next === "unknown" ? rest : { ...rest, [name]: next === "yes" });
      }}
      options={[
        { value: "yes", label: t("common:yes") },
        { value: "no", label: t("common:no") },
        { value: "unknown", label: t("common:notAsked") },
      ]}
    />
  );
};

const Afterbirth = ({ answers, onChange }: Props) => {
  const { t } = useTranslation("cases");
  const name = "hoursSinceFoalingWithoutAfterbirth";
  return (
    <NumberField
      label={t(`call.${name}`)}
      name={`answers/${name}`}
      unit={t("call.hours")}
      isOptional
      value={answers[name] === undefined ? "" : String(answers[name])}
      onChange={(text) => {
        const { [name]: _before, ...rest } = answers;
        const hours = typedNumber(text);
        onChange(hours === undefined ? rest : { ...rest, [name]: hours });
      }}
    />
  );
};

/** The questions after the first, in the order in which they are asked. */
export const CallQuestions = (props: Props) => {
  const { t } = useTranslation("cases");
  const { answers, onChange } = props;
  return (
    <div className={styles["questions"]}>
      <ChoiceField
        label={t("call.willMove")}
        value={answers.willMove ?? ""}
        onChange={(willMove) => onChange({ ...answers, willMove })}
        options={MOVES.map((value) => ({ value, label: t(`call.moves.${value}`) }))}
      />
      <YesNoQuestion {...props} name="suddenThreeLeggedLameness" />
      <ChoiceField
        label={t("call.canLiftFrontFoot")}
        value={answers.canLiftFrontFoot ?? ""}
        onChange={(canLiftFrontFoot) => onChange({ ...answers, canLiftFrontFoot })}
        options={LIFTS.map((value) => ({ value, label: t(`call.lifts.${value}`) }))}
      />
      <YesNoQuestion {...props} name="allFourFeetSore" />
      <YesNoQuestion {...props} name="colicDiarrhoeaOrOffFood" />
      <YesNoQuestion {...props} name="grainBreakIn" />
      <Afterbirth {...props} />
      <YesNoQuestion {...props} name="otherLegInjured" />
      <YesNoQuestion {...props} name="steroidLately" />
      <YesNoQuestion {...props} name="shiftsWeight" />
      <YesNoQuestion {...props} name="leansBack" />
      <YesNoQuestion {...props} name="feetWarm" />
      <YesNoQuestion {...props} name="pulsesStrong" />
      <YesNoQuestion {...props} name="knownInsulinTroubleOrPpid" />
    </div>
  );
};
