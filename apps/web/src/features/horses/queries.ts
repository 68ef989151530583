import { useInfiniteQuery, useQuery } from "@tanstack/react-query";
import type { Input } from "../../api/operations.ts";
import { read, readPages } from "../../api/use-call.ts";

export const useHorses = (query: NonNullable<Input<"listHorses">["query"]>) =>
  useInfiniteQuery(readPages("listHorses", { query }));

export const useHorse = (horseId: string) => useQuery(read("readHorse", { params: { horseId } }));

/** Weighings, latest first, as many as one page holds. */
export const useWeighings = (horseId: string) =>
  useQuery(read("listWeighings", { params: { horseId }, query: { limit: 100 } }));

export const useYards = () => useQuery(read("listYards", { query: { limit: 200 } }));
