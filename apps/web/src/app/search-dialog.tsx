import { keepPreviousData, useQuery } from "@tanstack/react-query";
import { type KeyboardEvent, useDeferredValue, useState } from "react";
import { useTranslation } from "react-i18next";
import { read } from "../api/use-call.ts";
import { Dialog } from "../components/dialog.tsx";
import { TextField } from "../components/field.tsx";
import { Link } from "../components/link.tsx";
import { ErrorState } from "../components/states.tsx";
import styles from "./search-dialog.module.css";
import { useGo } from "./use-address.ts";

const LEAST = 2;

/** Finds a horse, owner, yard, number or chip; arrows choose, Enter opens. */
export const SearchDialog = ({ onClose }: { readonly onClose: () => void }) => {
  const { t } = useTranslation("shell");
  const go = useGo();
  const [typed, setTyped] = useState("");
  const [chosen, setChosen] = useState(0);
  const q = useDeferredValue(typed.trim());
  const found = useQuery({
    ...read("search", { query: { q } }),
    enabled: q.length >= LEAST,
    placeholderData: keepPreviousData,
  });
  const hits = q.length < LEAST ? [] : (found.data?.items ?? []);
  const onKey = (event: KeyboardEvent) => {
    const step = event.key === "ArrowDown" ? 1 : event.key === "ArrowUp" ? -1 : 0;
    if (step !== 0 && hits.length > 0) {
      event.preventDefault();
      setChosen((chosen + step + hits.length) % hits.length);
    }
    const hit = hits[chosen];
    if (event.key === "Enter" && hit !== undefined) {
      onClose();
      go(hit.href);
    }
  };
  return (
    <Dialog title={t("search")} isOpen onClose={onClose}>
      <div className="stack">
        <TextField
          label={t("searchHint")}
          type="search"
          autoComplete="off"
          value={typed}
          onChange={(text) => {
            setTyped(text);
            setChosen(0);
          }}
          onKeyDown={onKey}
        />
        {found.error === null ? null : <ErrorState error={found.error} />}
        <div className={styles["hits"]} aria-live="polite">
          {q.length < LEAST ? <p className="quiet">{t("searchStart")}</p> : null}
          {q.length >= LEAST && found.isSuccess && hits.length === 0 ? (
            <p className="quiet">{t("searchNone", { q })}</p>
          ) : null}
          {hits.map((hit, index) => (
            <Link
              key={hit.kind + hit.id}
              href={hit.href}
              className={styles["hit"]}
              data-chosen={index === chosen}
              onClick={onClose}
            >
              <span className={styles["kind"]}>{t(`hit.${hit.kind}`)}</span>
              <strong>{hit.title}</strong>
              <span className={styles["detail"]}>{hit.detail}</span>
            </Link>
          ))}
        </div>
      </div>
    </Dialog>
  );
};
