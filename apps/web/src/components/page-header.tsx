import { ChevronLeft } from "lucide-react";
import { type ReactNode, useEffect } from "react";
import { Link } from "./link.tsx";
import styles from "./page-header.module.css";

/** The top of every page: where one is, the way back, and the page's actions. Sets the window's title. */
export const PageHeader = ({
  title,
  lead,
  back,
  actions,
  beside,
}: {
  readonly title: string;
  readonly lead?: ReactNode;
  readonly back?: { readonly href: string; readonly label: string };
  readonly actions?: ReactNode;
  /** Pills and badges beside the title. */
  readonly beside?: ReactNode;
}) => {
  useEffect(() => {
    document.title = `${title} · Heelward`;
  }, [title]);
  return (
    <header className={styles["header"]}>
      <div>
        {back === undefined ? null : (
          <Link href={back.href} className={`${styles["back"] ?? ""} no-print`}>
            <ChevronLeft aria-hidden />
            {back.label}
          </Link>
        )}
        <div className="row">
          <h1>{title}</h1>
          {beside}
        </div>
        {lead === undefined ? null : <div className={styles["lead"]}>{lead}</div>}
      </div>
      {actions === undefined ? null : <div className="row no-print">{actions}</div>}
    </header>
  );
};
