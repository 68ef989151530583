import { useQuery } from "@tanstack/react-query";
import { read } from "../../api/use-call.ts";

export const useHorse = (horseId: string) => useQuery(read("readHorse", { params: { horseId } }));
export const useTasks = (horseId: string) =>
  useQuery(read("listMonitoringTasks", { params: { horseId } }));
/** What the season asks for on a day; today when left out. */
export const useSeason = (on: string) =>
  useQuery(read("readSeasonLookAhead", { query: on === "" ? {} : { on } }));
