import type { ReactNode } from "react";
import { useFormat } from "../language/format.ts";
import { Link } from "./link.tsx";
import styles from "./timeline.module.css";

export interface TimelineItem {
  readonly id: string;
  readonly at: string;
  readonly title: string;
  readonly detail?: string | null;
  readonly who?: string | null;
  readonly href?: string | undefined;
  readonly icon: ReactNode;
}

/** What happened, newest first, with a line through time. */
export const Timeline = ({ items }: { readonly items: readonly TimelineItem[] }) => {
  const format = useFormat();
  return (
    <ol className={styles["line"]}>
      {items.map((item) => (
        <li key={item.id} className={styles["event"]}>
          <span className={styles["mark"]} aria-hidden>
            {item.icon}
          </span>
          <div>
            <div className={styles["title"]}>
              {item.href === undefined ? item.title : <Link href={item.href}>{item.title}</Link>}
            </div>
            <div className={styles["when"]}>
              <time dateTime={item.at}>{format.shortDateTime(item.at)}</time>
              {item.who === undefined || item.who === null ? null : ` · ${item.who}`}
            </div>
            {item.detail === undefined || item.detail === null ? null : (
              <p className={styles["detail"]}>{item.detail}</p>
            )}
          </div>
        </li>
      ))}
    </ol>
  );
};
