import type { Yard } from "@heelward/contracts";
import { useQuery } from "@tanstack/react-query";
import { read } from "../api/use-call.ts";

/** As many as a practice may ask for at once. */
const MOST_YARDS = 200;

/** The practice's yards by name; empty until read. */
export const useYards = (): readonly Yard[] =>
  useQuery(read("listYards", { query: { limit: MOST_YARDS } })).data?.items ?? [];
