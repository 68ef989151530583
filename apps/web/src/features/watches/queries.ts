import { useQuery } from "@tanstack/react-query";
import { read } from "../../api/use-call.ts";

export const useWatches = (horseId: string) =>
  useQuery(read("listLimbWatches", { params: { horseId } }));

export const useHorse = (horseId: string) => useQuery(read("readHorse", { params: { horseId } }));
