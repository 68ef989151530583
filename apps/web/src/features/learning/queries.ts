import { useQuery } from "@tanstack/react-query";
import { read, readOrNone } from "../../api/use-call.ts";

export const useCaseFile = (caseId: string) =>
  useQuery(read("readCaseFile", { params: { caseId } }));

/** The note, or nothing while nobody wrote one. */
export const useLearningNote = (caseId: string) =>
  useQuery(readOrNone("readLearningNote", { params: { caseId } }));
