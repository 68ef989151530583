import { useInfiniteQuery, useQuery } from "@tanstack/react-query";
import { read, readPages } from "../../api/use-call.ts";

export const useHorse = (horseId: string) => useQuery(read("readHorse", { params: { horseId } }));
export const useResults = (horseId: string) =>
  useInfiniteQuery(readPages("listLabResults", { params: { horseId }, query: { limit: 200 } }));
export const useTrends = (horseId: string) =>
  useQuery(read("readLabTrends", { params: { horseId } }));
/** Amounts of each sugar test at the weight in force; refused without a usable weight. */
export const useSugarTests = (horseId: string) =>
  useQuery({ ...read("listSugarTests", { params: { horseId } }), retry: false });
