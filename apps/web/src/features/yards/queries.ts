import { useInfiniteQuery, useQuery } from "@tanstack/react-query";
import { read, readPages } from "../../api/use-call.ts";

export const useYardList = (q: string) =>
  useInfiniteQuery(readPages("listYards", { query: q === "" ? {} : { q } }));

export const useYard = (yardId: string) => useQuery(read("readYard", { params: { yardId } }));

export const useHorsesAt = (yardId: string) =>
  useQuery(read("listHorses", { query: { yardId, limit: 200 } }));
