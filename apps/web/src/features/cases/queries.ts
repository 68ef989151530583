import { useInfiniteQuery, useQuery } from "@tanstack/react-query";
import type { Input } from "../../api/operations.ts";
import { read, readPages } from "../../api/use-call.ts";
import { useCurrent } from "../../app/current-session.tsx";

export const useCases = (query: NonNullable<Input<"listCases">["query"]>) =>
  useInfiniteQuery(readPages("listCases", { query }));

/** The whole case, as far as the role may see it. */
export const useCaseFile = (caseId: string) =>
  useQuery(read("readCaseFile", { params: { caseId } }));

export const useTimeline = (caseId: string) =>
  useInfiniteQuery(readPages("readTimeline", { params: { caseId } }));

/** The first thing in one's own queue about a case. */
export const useNextAction = (caseId: string) => {
  const { role } = useCurrent();
  const queue = useQuery(read("readQueue", { query: { role } }));
  return queue.data?.items.find((item) => item.caseId === caseId);
};
