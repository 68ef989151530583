import { useParams, useRouter, useSearch } from "@tanstack/react-router";
import { useCallback } from "react";

/** A part of the address, such as `caseId` of `/cases/$caseId`. */
export const useParam = (name: string): string => {
  const params: Record<string, string | undefined> = useParams({ strict: false });
  const value = params[name];
  if (value === undefined) throw new Error(`the address has no ${name}`);
  return value;
};

/**
 * What the address carries behind the question mark (filters, the chosen tab), and how to change
 * it: going back undoes it, and a link to it can be sent.
 */
export const useSearchState = () => {
  const router = useRouter();
  const raw: Record<string, unknown> = useSearch({ strict: false });
  const get = (name: string): string => {
    const value = raw[name];
    return typeof value === "string" || typeof value === "number" ? String(value) : "";
  };
  const set = useCallback(
    (changes: Readonly<Record<string, string>>) => {
      const search = new URLSearchParams(router.history.location.search);
      for (const [name, value] of Object.entries(changes))
        if (value === "") search.delete(name);
        else search.set(name, value);
      const text = search.toString();
      router.history.replace(`${router.history.location.pathname}${text === "" ? "" : `?${text}`}`);
    },
    [router],
  );
  return { get, set };
};

/** Goes to another page of the dashboard. */
export const useGo = (): ((href: string) => void) => {
  const router = useRouter();
  return useCallback((href: string) => router.history.push(href), [router]);
};
