import { PhoneCall } from "lucide-react";
import { useTranslation } from "react-i18next";
import type { Reminder } from "./queries.ts";
import styles from "./reminder.module.css";
import { telHref } from "../../parts/tel-href.ts";

/** The practice's number, one tap from the call. */
export const RingPractice = ({
  practice: { name, phone },
  lead,
}: {
  readonly practice: Reminder["practice"];
  readonly lead: string;
}) => {
  const { t } = useTranslation("reminder");
  return (
    <div className={styles["ring"]}>
      <p>{lead}</p>
      {phone === null ? null : (
        <a href={telHref(phone)}>
          <PhoneCall aria-hidden />
          <span>
            {t("ring", { practice: name })}
            <br />
            {phone}
          </span>
        </a>
      )}
    </div>
  );
};
