import { useState } from "react";

/** The values of a form while it is filled in: `[draft, set]`, where `set("name")` makes a setter. */
export const useDraft = <T extends object>(first: T | (() => T)) => {
  const [draft, setDraft] = useState<T>(first);
  const set =
    <K extends keyof T>(name: K) =>
    (value: T[K]) =>
      setDraft((before) => ({ ...before, [name]: value }));
  return [draft, set, setDraft] as const;
};

/** The number a person typed, with comma or point; undefined when there is none. */
export const typedNumber = (text: string): number | undefined => {
  const trimmed = text.trim().replace(",", ".");
  if (trimmed === "") return undefined;
  const value = Number(trimmed);
  return Number.isFinite(value) ? value : undefined;
};

/** The text a person typed; undefined when there is none. */
export const typedText = (text: string): string | undefined =>
  text.trim() === "" ? undefined : text.trim();
