import { Search } from "lucide-react";
import { lazy, Suspense, useEffect, useState } from "react";
import { useTranslation } from "react-i18next";
import styles from "./shell.module.css";

const SearchDialog = lazy(() =>
  import("./search-dialog.tsx").then((m) => ({ default: m.SearchDialog })),
);

const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && target.closest("input, textarea, select, dialog") !== null;

/** Search from anywhere: this button, `/`, or Ctrl/⌘ K. */
export const SearchButton = () => {
  const { t } = useTranslation("shell");
  const [isOpen, setOpen] = useState(false);
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      const isShortcut = (event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "k";
      if (!isShortcut && (event.key !== "/" || isTyping(event.target))) return;
      event.preventDefault();
      setOpen(true);
    };
    addEventListener("keydown", onKey);
    return () => removeEventListener("keydown", onKey);
  }, []);
  return (
    <>
      <button type="button" className={styles["search"]} onClick={() => setOpen(true)}>
        <Search aria-hidden />
        <b className="only-read">{t("search")}</b>
        <span aria-hidden>{t("searchHint")}</span>
        <kbd aria-hidden>/</kbd>
      </button>
      {isOpen ? (
        <Suspense fallback={null}>
          <SearchDialog onClose={() => setOpen(false)} />
        </Suspense>
      ) : null}
    </>
  );
};
