import { useQuery } from "@tanstack/react-query";
import { read } from "../../api/use-call.ts";

export const useOwnHorses = () => useQuery(read("listOwnHorses", {}));
export const useOwnHorse = (horseId: string) =>
  useQuery(read("readOwnHorse", { params: { horseId } }));
