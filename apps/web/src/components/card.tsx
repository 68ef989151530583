import { type ReactNode, useId } from "react";
import styles from "./card.module.css";
import { classNames } from "./class-names.ts";

/** A sheet of paper with a heading. `isFlush` lets a list or table reach the edges. */
export const Card = ({
  title,
  actions,
  children,
  isFlush = false,
  level = 2,
  className,
}: {
  readonly title?: ReactNode;
  readonly actions?: ReactNode;
  readonly children: ReactNode;
  readonly isFlush?: boolean;
  readonly level?: 2 | 3;
  readonly className?: string | undefined;
}) => {
  const id = useId();
  const Heading = level === 2 ? "h2" : "h3";
  return (
    <section
      className={classNames(styles["card"], className)}
      aria-labelledby={title === undefined ? undefined : id}
    >
      {title === undefined ? null : (
        <div className={styles["head"]}>
          <Heading id={id}>{title}</Heading>
          {actions === undefined ? null : <div className="row no-print">{actions}</div>}
        </div>
      )}
      <div className={isFlush ? styles["flush"] : styles["body"]}>{children}</div>
    </section>
  );
};
