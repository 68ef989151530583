import { QueryClient } from "@tanstack/react-query";
import { ProblemError } from "./problem-error.ts";

const isPassing = (error: Error): boolean =>
  error instanceof ProblemError &&
  (error.slug === "no-connection" || error.slug === "dependency-unavailable");

export const queryClient = new QueryClient({
  defaultOptions: {
    queries: {
      staleTime: 15_000,
      retry: (failures, error) => isPassing(error) && failures < 2,
      // Ask even when the browser believes it is offline: a yard's network may still reach us.
      networkMode: "always",
    },
    mutations: { networkMode: "always" },
  },
});
