import { useQuery } from "@tanstack/react-query";
import { read } from "../../api/use-call.ts";

/** A yard's doses, checks and first aid of a day. */
export const useCareDay = (date: string, yardId: string) =>
  useQuery(read("readCareDay", { params: { date }, query: yardId === "" ? {} : { yardId } }));

/** Feet under watch, of a yard or of every yard the caller sees. */
export const useOpenWatches = (yardId: string) =>
  useQuery(read("listOpenLimbWatches", { query: yardId === "" ? {} : { yardId } }));

export const useYards = (isAllowed: boolean) =>
  useQuery({ ...read("listYards", { query: { limit: 200 } }), enabled: isAllowed });

export const useHorse = (horseId: string) => useQuery(read("readHorse", { params: { horseId } }));

export const useYard = (yardId: string) => useQuery(read("readYard", { params: { yardId } }));
