import { useEffect, useState } from "react";
import { flushSync } from "react-dom";
import { useTranslation } from "react-i18next";
import { useFormat } from "../language/format.ts";
import styles from "./print-stamp.module.css";

/** On paper only: which version of what, and when it was printed. The paper says so, because it ages. */
export const PrintStamp = ({ version }: { readonly version: string }) => {
  const { t } = useTranslation();
  const format = useFormat();
  const [printedAt, setPrintedAt] = useState(() => new Date().toISOString());
  useEffect(() => {
    // The page is set in type right after this event: the time must stand there by then.
    const stamp = () => flushSync(() => setPrintedAt(new Date().toISOString()));
    window.addEventListener("beforeprint", stamp);
    return () => window.removeEventListener("beforeprint", stamp);
  }, []);
  return (
    <p className={styles["stamp"]}>{t("printed", { version, when: format.dateTime(printedAt) })}</p>
  );
};
