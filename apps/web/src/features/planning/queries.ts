import { useQuery } from "@tanstack/react-query";
import type { Answer } from "../../api/operations.ts";
import { read } from "../../api/use-call.ts";

export type Plan = Answer<"readPlan">;
export type Result = NonNullable<Plan["result"]>;
export type PlanChoice = Result["choices"][number];

/** While a plan is worked out its figures change several times a second. */
const WATCH_MS = 1000;

export const isOpen = ({ status }: Pick<Plan, "status">): boolean =>
  status === "waiting" || status === "running";

export const usePlans = () =>
  useQuery({
    ...read("listPlans", {}),
    refetchInterval: ({ state }) => (state.data?.items.some(isOpen) === true ? WATCH_MS : false),
  });

export const usePlan = (planId: string) =>
  useQuery({
    ...read("readPlan", { params: { planId } }),
    refetchInterval: ({ state }) =>
      state.data !== undefined && isOpen(state.data) ? WATCH_MS : false,
  });
