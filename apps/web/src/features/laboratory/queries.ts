import { useInfiniteQuery, useQuery } from "@tanstack/react-query";
import { read, readPages } from "../../api/use-call.ts";

export const useHorse = (horseId: string) => useQuery(read("readHorse", { params: { horseId } }));
export const useResults = (horseId: string) =>
  useInfiniteQuery(readPages("listLabResults", { params: { horseId }, query: { limit: 200 } }));
