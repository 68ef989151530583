import { useQuery } from "@tanstack/react-query";
import { read } from "../../api/use-call.ts";

export const useSheet = (sheetId: string) =>
  useQuery(read("readFirstAidSheet", { params: { sheetId } }));

export const useCase = (caseId: string) => useQuery(read("readCase", { params: { caseId } }));
