import { type ReactNode, useId, useRef } from "react";
import { useTranslation } from "react-i18next";
import type { Catalogue } from "../language/catalogue.ts";
import styles from "./term.module.css";

const WIDTH_PX = 320;

/** A plain word; a tap shows the trade's word for it and what it means. */
export const Term = ({
  word,
  children,
}: {
  readonly word: keyof Catalogue["glossary"];
  readonly children?: ReactNode;
}) => {
  const { t } = useTranslation("glossary");
  const id = useId();
  const button = useRef<HTMLButtonElement>(null);
  const place = (note: HTMLElement) => {
    const box = button.current?.getBoundingClientRect();
    if (box === undefined) return;
    const below = box.bottom + 8;
    const roomBelow = window.innerHeight - below > note.offsetHeight;
    note.style.left = `${String(Math.max(8, Math.min(box.left, window.innerWidth - WIDTH_PX - 8)))}px`;
    note.style.top = `${String(roomBelow ? below : Math.max(8, box.top - note.offsetHeight - 8))}px`;
  };
  return (
    <>
      <button ref={button} type="button" className={styles["term"]} popoverTarget={id}>
        {children ?? t(`${word}.say`)}
      </button>
      <span
        id={id}
        popover="auto"
        role="note"
        className={styles["note"]}
        onToggle={(event) => {
          if (event.newState === "open") place(event.currentTarget);
        }}
      >
        <strong>{t(`${word}.trade`)}</strong>: {t(`${word}.meaning`)}.
      </span>
    </>
  );
};
