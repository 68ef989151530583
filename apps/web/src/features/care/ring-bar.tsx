import { PhoneCall, Repeat2 } from "lucide-react";
import { useTranslation } from "react-i18next";
import { useCurrent } from "../../app/current-session.tsx";
import { useSignOut } from "../../app/use-sign-out.ts";
import { Button } from "../../components/button.tsx";
import { type Meant, RedFlagButton } from "../../parts/red-flag-button.tsx";
import { telHref } from "../../parts/tel-href.ts";
import styles from "./care.module.css";

/** The vet's number, first on every page of the yard, and whose name goes on what is written. */
export const RingBar = ({
  phone,
  horse,
  horses,
}: {
  readonly phone: string | null;
  /** The horse of the page, which a red flag is then about. */
  readonly horse?: Meant | undefined;
  readonly horses?: readonly Meant[] | undefined;
}) => {
  const { t } = useTranslation("care");
  const { session } = useCurrent();
  const signOut = useSignOut();
  const number = phone ?? session.practice.phone;
  return (
    <div className={styles["bar"]}>
      {number === null ? (
        <p className={styles["noPhone"]}>{t("noPhone")}</p>
      ) : (
        <a className={styles["ring"]} href={telHref(number)}>
          <PhoneCall aria-hidden />
          <span>
            {t("ring")}
            <strong>{number}</strong>
          </span>
        </a>
      )}
      <RedFlagButton phone={number} horse={horse} horses={horses} />
      <div className={`${styles["who"] ?? ""} no-print`}>
        <span>
          <span className="quiet small">{t("signedIn")}</span>
          <strong>{session.person.name}</strong>
        </span>
        <Button icon={<Repeat2 aria-hidden />} onClick={() => void signOut()}>
          {t("notYou")}
        </Button>
      </div>
    </div>
  );
};
