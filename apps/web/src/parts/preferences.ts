import { useQuery } from "@tanstack/react-query";
import type { Answer } from "../api/operations.ts";
import { read } from "../api/use-call.ts";

export type Preferences = Answer<"readPreferences">;

/** Units and saved views of the person signed in; undefined until read. */
export const usePreferences = (): Preferences | undefined =>
  useQuery({ ...read("readPreferences", {}), staleTime: 300_000 }).data;
