import { isCurrentPrescription, type PrescriptionState } from "@heelward/domain/trim";
import { useQuery } from "@tanstack/react-query";
import { read } from "../../api/use-call.ts";
import type { Plan } from "./as-done.ts";

export const useHorse = (horseId: string) => useQuery(read("readHorse", { params: { horseId } }));

export const useShoeingRecords = (horseId: string) =>
  useQuery(read("listShoeingRecords", { params: { horseId }, query: { limit: 100 } }));

/** Photos and papers, newest first: the last photos are what the next ones are taken over. */
export const useDocuments = (horseId: string) =>
  useQuery(read("listDocuments", { params: { horseId }, query: { limit: 100 } }));

/** The plan in force for a horse: signed, not replaced, not carried out yet. `undefined` until read, `null` if there is none. */
export const useCurrentPlan = (caseId: string | null | undefined): Plan | null | undefined => {
  const plans = useQuery({
    ...read("listPrescriptions", { params: { caseId: caseId ?? "" } }),
    enabled: typeof caseId === "string",
  });
  if (caseId === null) return null;
  if (plans.error !== null) return null;
  if (plans.data === undefined) return undefined;
  return (
    plans.data.items.find(
      (plan) =>
        isCurrentPrescription(plan.status as PrescriptionState) &&
        plan.status !== "done" &&
        plan.status !== "declined",
    ) ?? null
  );
};
