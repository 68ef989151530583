import { PhoneCall } from "lucide-react";
import { useTranslation } from "react-i18next";
import type { Reminder } from "./queries.ts";
import styles from "./reminder.module.css";

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
        // A number in a tel: link has no spaces (RFC 3966).
        <a href={`tel:${phone.replaceAll(/\s/gu, "")}`}>
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
