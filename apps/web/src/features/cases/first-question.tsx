import { MessageSquareQuote, PhoneCall, Siren } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useCurrent } from "../../app/current-session.tsx";
import { Card } from "../../components/card.tsx";
import { ChoiceField } from "../../components/field.tsx";
import styles from "./phone-call.module.css";
import { telHref } from "../../parts/tel-href.ts";

/** Whether the horse is on its feet or can get up; empty while nobody has answered. */
export type CanStand = "yes" | "no" | "unknown" | "";

/** Sentences to read out on the telephone. */
export const SayList = ({ isDown }: { readonly isDown: boolean }) => {
  const { t } = useTranslation("cases");
  const words = isDown
    ? t("call.sayNow", { returnObjects: true })
    : t("call.sayStanding", { returnObjects: true });
  return (
    <ul className={styles["say"]}>
      {words.map((one) => (
        <li key={one}>
          <MessageSquareQuote aria-hidden />
          {one}
        </li>
      ))}
    </ul>
  );
};

/** Ring first, type later. */
export const VetNow = ({ isDown }: { readonly isDown: boolean }) => {
  const { t } = useTranslation("cases");
  const { phone } = useCurrent().session.practice;
  return (
    <div className={styles["alarm"]} role="alert">
      <h2>
        <Siren aria-hidden />
        {t("call.vetNow")}
      </h2>
      <p>{t("call.vetNowText")}</p>
      {phone === null ? null : (
        <a href={telHref(phone)} className={styles["call"]}>
          <PhoneCall aria-hidden />
          {t("call.ring")}: {phone}
        </a>
      )}
      <h3>{t("call.say")}</h3>
      <SayList isDown={isDown} />
    </div>
  );
};

/** The question that decides before any other field is shown. */
export const FirstQuestion = ({
  value,
  onChange,
}: {
  readonly value: CanStand;
  readonly onChange: (value: Exclude<CanStand, "">) => void;
}) => {
  const { t } = useTranslation("cases");
  return (
    <>
      <Card>
        <ChoiceField
          label={<span className={styles["first"]}>{t("call.first")}</span>}
          value={value}
          onChange={onChange}
          options={[
            { value: "yes", label: t("call.canGetUp") },
            { value: "no", label: t("call.cannotGetUp") },
            { value: "unknown", label: t("call.notKnown") },
          ]}
        />
      </Card>
      {value === "no" ? <VetNow isDown /> : null}
    </>
  );
};
