import { useEffect, useState } from "react";
import type { AsDoneDraft } from "./as-done.ts";

const keyOf = (horseId: string, planId: string | undefined) =>
  `heelward.shoeing.${horseId}.${planId ?? "no-plan"}`;

const readKept = (key: string): AsDoneDraft | undefined => {
  try {
    const text = localStorage.getItem(key);
    if (text === null) return undefined;
    const draft = JSON.parse(text) as AsDoneDraft;
    // One begun before photos had views is begun anew.
    return Array.isArray(draft.shots) ? draft : undefined;
  } catch {
    return undefined;
  }
};

/** A form that survives a lost signal, a locked phone and a closed page; gone once it was sent. */
export const useKeptDraft = (
  horseId: string,
  planId: string | undefined,
  start: () => AsDoneDraft,
) => {
  const key = keyOf(horseId, planId);
  const [draft, setDraft] = useState<AsDoneDraft>(() => readKept(key) ?? start());
  const [isSent, setSent] = useState(false);
  useEffect(() => {
    if (isSent) localStorage.removeItem(key);
    else localStorage.setItem(key, JSON.stringify(draft));
  }, [key, draft, isSent]);
  const forget = () => {
    // At once, not only in the effect: the page may be gone before it runs.
    localStorage.removeItem(key);
    setSent(true);
  };
  return { draft, setDraft, forget };
};
