import type { ComponentProps, ReactNode } from "react";
import styles from "./button.module.css";
import { classNames } from "./class-names.ts";
import { Link } from "./link.tsx";

export interface Look {
  /** `primary`: the one next action of a view. `danger`: ends or closes something. */
  readonly look?: "primary" | "plain" | "quiet" | "danger";
  readonly size?: "large" | "usual";
  readonly isWide?: boolean;
  readonly icon?: ReactNode;
}

const classOf = ({ look = "plain", size, isWide }: Look, className?: string) =>
  classNames(
    styles["button"],
    look === "plain" ? undefined : styles[look],
    size === "large" && styles["large"],
    isWide === true && styles["wide"],
    className,
  );

/** A button. While `isBusy` it cannot be pressed again. */
export const Button = ({
  look,
  size,
  isWide,
  icon,
  isBusy = false,
  className,
  children,
  ...rest
}: ComponentProps<"button"> & Look & { readonly isBusy?: boolean }) => (
  <button
    type="button"
    {...rest}
    disabled={rest.disabled === true || isBusy}
    aria-busy={isBusy || undefined}
    className={classOf(
      {
        ...(look && { look }),
        ...(size && { size }),
        ...(isWide !== undefined && { isWide }),
      },
      className,
    )}
  >
    {icon}
    {children}
  </button>
);

/** A round-cornered square with only an icon; the label is read aloud and shown as a tooltip. */
export const IconButton = ({
  label,
  icon,
  className,
  ...rest
}: Omit<ComponentProps<"button">, "children"> & {
  readonly label: string;
  readonly icon: ReactNode;
}) => (
  <button
    type="button"
    {...rest}
    aria-label={label}
    title={label}
    className={classNames(styles["button"], styles["quiet"], styles["icon"], className)}
  >
    {icon}
  </button>
);

/** Looks like a button, goes to another page. */
export const ButtonLink = ({
  href,
  look,
  size,
  isWide,
  icon,
  children,
}: Look & { readonly href: string; readonly children: ReactNode }) => (
  <Link
    href={href}
    className={classOf({
      ...(look && { look }),
      ...(size && { size }),
      ...(isWide !== undefined && { isWide }),
    })}
  >
    {icon}
    {children}
  </Link>
);
