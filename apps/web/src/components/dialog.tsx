import { X } from "lucide-react";
import { type ReactNode, useEffect, useId, useRef } from "react";
import { useTranslation } from "react-i18next";
import { IconButton } from "./button.tsx";
import { classNames } from "./class-names.ts";
import styles from "./dialog.module.css";

/**
 * A modal dialog on the platform's own `dialog` element: focus stays inside, Escape closes it, the
 * page behind is inert. On a phone it rises from the bottom. Its children exist only while open.
 */
export const Dialog = ({
  title,
  isOpen,
  onClose,
  children,
  isWide = false,
}: {
  readonly title: string;
  readonly isOpen: boolean;
  readonly onClose: () => void;
  readonly children: ReactNode;
  readonly isWide?: boolean;
}) => {
  const { t } = useTranslation();
  const id = useId();
  const element = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const dialog = element.current;
    if (!isOpen || dialog === null) return undefined;
    dialog.showModal();
    // The platform would choose the closing cross.
    dialog.querySelector<HTMLElement>("form input, form select, form textarea, input")?.focus();
    return () => dialog.close();
  }, [isOpen]);
  if (!isOpen) return null;
  return (
    <dialog
      ref={element}
      aria-labelledby={id}
      className={classNames(styles["dialog"], isWide && styles["wide"])}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
    >
      <div className={styles["head"]}>
        <h2 id={id}>{title}</h2>
        <IconButton label={t("close")} icon={<X aria-hidden />} onClick={onClose} />
      </div>
      <div className={styles["body"]}>{children}</div>
    </dialog>
  );
};
