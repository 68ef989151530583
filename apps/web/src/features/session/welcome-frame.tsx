import { PhoneCall } from "lucide-react";
import type { ReactNode } from "react";
import { useTranslation } from "react-i18next";
import { Horseshoe } from "../../app/horseshoe.tsx";
import { FootLateral } from "../../components/foot-lateral.tsx";
import styles from "./sign-in.module.css";

/** The frame of the pages one sees before signing in. */
export const WelcomeFrame = ({
  title,
  lead,
  children,
}: {
  readonly title: string;
  readonly lead: string;
  readonly children: ReactNode;
}) => {
  const { t } = useTranslation("session");
  return (
    <div className={styles["page"]}>
      <div className={styles["picture"]} aria-hidden>
        <div>
          <FootLateral withWords={false} />
        </div>
      </div>
      <main className={styles["panel"]}>
        <div className={styles["box"]}>
          <div className={styles["brand"]}>
            <Horseshoe aria-hidden />
            Heelward
          </div>
          <div>
            <h1>{title}</h1>
            <p className="quiet">{lead}</p>
          </div>
          {children}
          <p className={styles["emergency"]}>
            <PhoneCall aria-hidden />
            {t("emergency")}
          </p>
        </div>
      </main>
    </div>
  );
};
