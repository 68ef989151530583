import type { Horse } from "@heelward/contracts";
import {
  DIGITAL_PULSES,
  type DigitalPulse,
  FEET,
  FIVE_SIGNS,
  type Foot,
  HOOF_HEATS,
  type HoofHeat,
  type RedFlagSign,
} from "@heelward/domain/examination";
import { useTranslation } from "react-i18next";
import type { Answer } from "../../api/operations.ts";
import { useWrite } from "../../api/use-call.ts";
import { Button, ButtonLink } from "../../components/button.tsx";
import { Card } from "../../components/card.tsx";
import { CheckField, NumberField, SelectField, TextArea } from "../../components/field.tsx";
import { Form } from "../../components/form.tsx";
import { MomentField } from "../../components/moment-field.tsx";
import { typedNumber, typedText, useDraft } from "../../components/use-draft.ts";
import { nowIn } from "../../language/wall-clock.ts";
import { SIGN_GROUPS, type SignPoints, totalOf } from "./five-sign-points.ts";
import { SignField } from "./sign-field.tsx";
import styles from "./care.module.css";

type PerFoot<T extends string> = Readonly<Partial<Record<Foot, T>>>;

const FIGURES = [
  ["heartRatePerMinute", "heartRate"],
  ["respirationPerMinute", "breathing"],
  ["temperatureC", "temperature"],
] as const;

const firstDraft = (timeZone: string) => ({
  points: {} as SignPoints,
  pulses: {} as PerFoot<DigitalPulse>,
  heats: {} as PerFoot<HoofHeat>,
  heartRatePerMinute: "",
  respirationPerMinute: "",
  temperatureC: "",
  signs: [] as readonly RedFlagSign[],
  notes: "",
  examinedAt: nowIn(timeZone),
});

/** Without the key when the choice was taken back. */
const withFoot = <T extends string>(before: PerFoot<T>, foot: Foot, value: T | ""): PerFoot<T> => {
  const { [foot]: _old, ...rest } = before;
  return (value === "" ? rest : { ...rest, [foot]: value }) as PerFoot<T>;
};

/** The yard check: warning signs, five signs in pictures, feet, and figures if they can be taken. */
export const CheckForm = ({
  horse,
  onSaved,
}: {
  readonly horse: Horse;
  readonly onSaved: (answer: Answer<"checkHorse">) => void;
}) => {
  const { t } = useTranslation(["care", "common"]);
  const check = useWrite("checkHorse");
  const [draft, set, setDraft] = useDraft(() => firstDraft(horse.yard.timeZone));
  const total = totalOf(draft.points);
  const seen = Object.values(draft.points).filter((one) => one !== undefined).length;
  const toggle = (sign: RedFlagSign, isSeen: boolean) =>
    setDraft({
      ...draft,
      signs: isSeen ? [...draft.signs, sign] : draft.signs.filter((one) => one !== sign),
    });
  // What was seen of a part of the signs is kept in words: a part is no score.
  const partSeen =
    total !== null || seen === 0
      ? []
      : FIVE_SIGNS.flatMap((sign) => {
          const points = draft.points[sign];
          const level = (t(`levels.${sign}`, { returnObjects: true }) as readonly string[])[
            points ?? -1
          ];
          return level === undefined ? [] : [`${t(`signNames.${sign}`)}: ${level}`];
        });
  const notes = typedText([...partSeen, draft.notes].filter((one) => one !== "").join(". "));
  return (
    <Form
      problem={check.error}
      onSubmit={() =>
        check.mutate(
          {
            params: { horseId: horse.id },
            body: {
              fiveSignScore: total,
              digitalPulses: draft.pulses,
              hoofHeat: draft.heats,
              heartRatePerMinute: typedNumber(draft.heartRatePerMinute) ?? null,
              respirationPerMinute: typedNumber(draft.respirationPerMinute) ?? null,
              temperatureC: typedNumber(draft.temperatureC) ?? null,
              signs: [...draft.signs],
              notes: notes ?? null,
              examinedAt: draft.examinedAt,
            },
          },
          { onSuccess: onSaved },
        )
      }
      footer={
        <>
          <Button type="submit" look="primary" size="large" isBusy={check.isPending}>
            {t("save")}
          </Button>
          <ButtonLink href="/care" look="quiet" size="large">
            {t("common:cancel")}
          </ButtonLink>
        </>
      }
    >
      <Card title={t("warnings")}>
        <div className={styles["warnings"]}>
          {(["standing", "feet", "belly", "medicine"] as const).map((group) => (
            <fieldset key={group} className={styles["group"]}>
              <legend>{t(`groups.${group}`)}</legend>
              {SIGN_GROUPS[group].map((sign) => (
                <CheckField
                  key={sign}
                  label={t(`signWords.${sign}`)}
                  value={draft.signs.includes(sign)}
                  onChange={(isSeen) => toggle(sign, isSeen)}
                />
              ))}
            </fieldset>
          ))}
        </div>
      </Card>
      <Card title={t("signs")}>
        <div className="stack">
          {FIVE_SIGNS.map((sign) => (
            <SignField
              key={sign}
              sign={sign}
              value={draft.points[sign]}
              onChange={(points) => {
                const { [sign]: _old, ...rest } = draft.points;
                setDraft({
                  ...draft,
                  points: points === undefined ? rest : { ...rest, [sign]: points },
                });
              }}
            />
          ))}
          <p className={styles["total"]} aria-live="polite">
            {total === null
              ? seen === 0
                ? null
                : t("scorePartial", { count: seen })
              : `${t("score")}: ${t("scoreOf", { score: total })}`}
          </p>
          <p className="quiet small">{t("scoreSource")}</p>
        </div>
      </Card>
      <Card title={t("feet")}>
        <div className={styles["feet"]}>
          {FEET.map((foot) => (
            <fieldset key={foot} className={styles["foot"]}>
              <legend>{t(`common:foot.${foot}`)}</legend>
              <SelectField<DigitalPulse>
                label={t("pulse")}
                name={`digitalPulses/${foot}`}
                value={draft.pulses[foot] ?? ""}
                onChange={(value) =>
                  setDraft({ ...draft, pulses: withFoot(draft.pulses, foot, value) })
                }
                emptyLabel={t("notSeen")}
                options={DIGITAL_PULSES.map((one) => ({ value: one, label: t(`pulses.${one}`) }))}
              />
              <SelectField<HoofHeat>
                label={t("heat")}
                name={`hoofHeat/${foot}`}
                value={draft.heats[foot] ?? ""}
                onChange={(value) =>
                  setDraft({ ...draft, heats: withFoot(draft.heats, foot, value) })
                }
                emptyLabel={t("notSeen")}
                options={HOOF_HEATS.map((one) => ({ value: one, label: t(`heats.${one}`) }))}
              />
            </fieldset>
          ))}
        </div>
      </Card>
      <Card title={t("figures")}>
        <div className="stack">
          <div className="columns">
            {FIGURES.map(([field, label]) => (
              <NumberField
                key={field}
                label={t(label)}
                name={field}
                unit={field === "temperatureC" ? "°C" : t("perMinute")}
                isOptional
                value={draft[field]}
                onChange={set(field)}
              />
            ))}
          </div>
          <TextArea
            label={t("notes")}
            name="notes"
            isOptional
            rows={2}
            value={draft.notes}
            onChange={set("notes")}
          />
          <MomentField
            label={t("checkedAt")}
            name="examinedAt"
            timeZone={horse.yard.timeZone}
            value={draft.examinedAt}
            onChange={set("examinedAt")}
          />
        </div>
      </Card>
    </Form>
  );
};
