import { useInfiniteQuery, useQuery } from "@tanstack/react-query";
import type { Input } from "../../api/operations.ts";
import { read, readPages } from "../../api/use-call.ts";

export const useAudit = (query: NonNullable<Input<"listAudit">["query"]>) =>
  useInfiniteQuery(readPages("listAudit", { query }));

/** Walks the whole chain; only when asked, because it reads everything. */
export const useVerification = (isAsked: boolean) =>
  useQuery({
    ...read("verifyAudit", {}),
    enabled: isAsked,
    staleTime: Number.POSITIVE_INFINITY,
    retry: false,
  });
