import { type ReactNode, useEffect, useRef } from "react";
import { classNames } from "../../components/class-names.ts";
import styles from "./reminder.module.css";

/** How it stands with the link, as the page's heading; it takes the focus, so that it is read aloud. */
export const Outcome = ({
  icon,
  title,
  isGood = false,
  children,
}: {
  readonly icon: ReactNode;
  readonly title: string;
  readonly isGood?: boolean;
  readonly children: ReactNode;
}) => {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    document.title = `${title} · Heelward`;
    heading.current?.focus();
  }, [title]);
  return (
    <div className={classNames(styles["outcome"], isGood && styles["isGood"])}>
      {icon}
      <div className="stack-tight">
        <h1 ref={heading} tabIndex={-1}>
          {title}
        </h1>
        {children}
      </div>
    </div>
  );
};
