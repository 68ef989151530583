import {
  POSITION_CARD_ITEMS,
  type BeamCentring,
  type PositionCardItem,
} from "@heelward/domain/geometry";
import { useTranslation } from "react-i18next";
import styles from "./film-list.module.css";
import { CheckField, ChoiceField, NumberField, SelectField } from "../../components/field.tsx";

export interface SetUp {
  readonly wedgeDegrees: string;
  readonly beamCentring: BeamCentring;
  readonly shod: "true" | "false";
  readonly groundLineOn: "ground" | "foot surface";
  readonly positionCard: readonly PositionCardItem[];
}

const CENTRINGS = [
  "hoof-ground interface",
  "coronary band",
  "coffin joint",
  "not recorded",
] as const satisfies readonly BeamCentring[];

/** How the horse stood and how the film was taken: what decides whether a millimetre may be believed. */
export const SetUpFields = ({
  value,
  onChange,
}: {
  readonly value: SetUp;
  readonly onChange: (value: SetUp) => void;
}) => {
  const { t } = useTranslation(["radiographs", "common"]);
  const set =
    <K extends keyof SetUp>(name: K) =>
    (next: SetUp[K]) =>
      onChange({ ...value, [name]: next });
  return (
    <>
      <fieldset className={styles["set"]}>
        <legend className="small">
          <strong>{t("card.title")}</strong>
        </legend>
        <p className="quiet small">{t("card.lead")}</p>
        {POSITION_CARD_ITEMS.map((item) => (
          <CheckField
            key={item.key}
            label={item.label}
            value={value.positionCard.includes(item.key)}
            onChange={(isTicked) =>
              set("positionCard")(
                POSITION_CARD_ITEMS.map((one) => one.key).filter((key) =>
                  key === item.key ? isTicked : value.positionCard.includes(key),
                ),
              )
            }
          />
        ))}
      </fieldset>
      <div className="columns">
        <NumberField
          label={t("wedge")}
          name="wedgeDegrees"
          unit="°"
          hint={t("wedgeHint")}
          value={value.wedgeDegrees}
          onChange={set("wedgeDegrees")}
        />
        <SelectField
          label={t("centring")}
          name="beamCentring"
          hint={t("centringHint")}
          value={value.beamCentring}
          onChange={(next) => set("beamCentring")(next === "" ? "not recorded" : next)}
          options={CENTRINGS.map((one) => ({ value: one, label: t(`centrings.${one}`) }))}
        />
        <ChoiceField
          label={t("shod")}
          name="shod"
          value={value.shod}
          onChange={set("shod")}
          options={[
            { value: "false", label: t("bare") },
            { value: "true", label: t("inShoe") },
          ]}
        />
        <ChoiceField
          label={t("groundLine")}
          name="groundLineOn"
          hint={t("groundLineHint")}
          value={value.groundLineOn}
          onChange={set("groundLineOn")}
          options={[
            { value: "ground", label: t("onGround") },
            { value: "foot surface", label: t("onFootSurface") },
          ]}
        />
      </div>
    </>
  );
};
