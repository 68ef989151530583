import type { QueueItem } from "@heelward/contracts";
import { useTranslation } from "react-i18next";
import { classNames } from "../../components/class-names.ts";
import { ButtonLink } from "../../components/button.tsx";
import { Link } from "../../components/link.tsx";
import { useFormat } from "../../language/format.ts";
import styles from "./queue.module.css";

/** One thing to do: the horse, what, why it stands here, by when, and the one next action. */
export const QueueRow = ({ item }: { readonly item: QueueItem }) => {
  const { t } = useTranslation("queues");
  const format = useFormat();
  const caseHref = item.caseId === null ? undefined : `/cases/${item.caseId}`;
  return (
    <li
      className={classNames(
        styles["item"],
        item.urgency === "later" ? undefined : styles[item.urgency],
      )}
    >
      <div>
        <div className="row">
          {item.horse === null ? null : (
            <span className={styles["horse"]}>
              <Link href={caseHref ?? `/horses/${item.horse.id}`}>{item.horse.name}</Link>
            </span>
          )}
          <span className={styles["what"]}>{item.title}</span>
        </div>
        <p className={styles["reason"]}>{item.reason}</p>
        <p className="quiet small">
          {[
            item.yard,
            item.dueAt === null ? null : t("due", { when: format.shortDateTime(item.dueAt) }),
          ]
            .filter((one) => one !== null)
            .join(" · ")}
        </p>
      </div>
      <div className={styles["actions"]}>
        <ButtonLink href={item.nextAction.href} look={item.urgency === "now" ? "primary" : "plain"}>
          {item.nextAction.label}
        </ButtonLink>
      </div>
    </li>
  );
};
