import type { OwnerHorse } from "@heelward/contracts";
import { useState } from "react";
import { useTranslation } from "react-i18next";
import { Dialog } from "../../components/dialog.tsx";
import styles from "./portal.module.css";
import { splitByWords } from "./split-by-words.ts";

type Glossary = OwnerHorse["glossary"];

/** Text in which every word of the glossary can be tapped for its meaning. */
export const GlossedText = ({
  text,
  glossary,
}: {
  readonly text: string;
  readonly glossary: Glossary;
}) => {
  const { t } = useTranslation("portal");
  const [open, setOpen] = useState<Glossary[number]>();
  return (
    <>
      {splitByWords(
        text,
        glossary.map((entry) => entry.word),
      ).map((part, index) => {
        const entry =
          part.word === undefined ? undefined : glossary.find((one) => one.word === part.word);
        return entry === undefined ? (
          <span key={index}>{part.text}</span>
        ) : (
          <button
            key={index}
            type="button"
            className={styles["word"]}
            aria-haspopup="dialog"
            onClick={() => setOpen(entry)}
          >
            {part.text}
          </button>
        );
      })}
      {open === undefined ? null : (
        <Dialog title={open.word} isOpen onClose={() => setOpen(undefined)}>
          <div className="stack">
            <p className={styles["meaning"]}>
              {t("wordMeaning")}: {open.meaning}.
            </p>
            <p className="quiet">
              {t("wordTrade")}: {open.trade}.
            </p>
          </div>
        </Dialog>
      )}
    </>
  );
};
