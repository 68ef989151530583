import { ChevronRight, HeartHandshake } from "lucide-react";
import { useTranslation } from "react-i18next";
import { Link } from "../../components/link.tsx";
import { PageHeader } from "../../components/page-header.tsx";
import { EmptyState, QueryView } from "../../components/states.tsx";
import { useFormat } from "../../language/format.ts";
import { useOwnHorses } from "./queries.ts";
import styles from "./portal.module.css";

/** The owner's horses, each with one sentence and the next date. */
export const OwnerHorsesPage = () => {
  const { t } = useTranslation("portal");
  const format = useFormat();
  const horses = useOwnHorses();
  return (
    <div className={styles["page"]}>
      <PageHeader title={t("title")} lead={t("lead")} />
      <QueryView query={horses}>
        {({ items }) =>
          items.length === 0 ? (
            <EmptyState icon={<HeartHandshake aria-hidden />} title={t("none")}>
              {t("noneText")}
            </EmptyState>
          ) : (
            <ul className={styles["horses"]}>
              {items.map((horse) => (
                <li key={horse.id}>
                  <Link href={`/portal/${horse.id}`} className={styles["horse"]}>
                    <span>
                      <span className={styles["name"]}>{horse.name}</span>{" "}
                      <span className="quiet">{horse.yard}</span>
                      <span className={styles["said"]}>{horse.headline}</span>
                      <span className="quiet small">
                        {horse.nextOn === null
                          ? t("noNext")
                          : t("next", { date: format.shortDate(horse.nextOn) })}
                      </span>
                    </span>
                    <ChevronRight aria-hidden />
                  </Link>
                </li>
              ))}
            </ul>
          )
        }
      </QueryView>
    </div>
  );
};
