import { useQuery } from "@tanstack/react-query";
import { read } from "../../api/use-call.ts";

/** As the route page starts a day when nobody chose another time; the stored day holds this one. */
const FIRST_START = "08:00";

export const useRouteDay = (date: string) =>
  useQuery(read("readRouteDay", { params: { date }, query: { startTime: FIRST_START } }));

/** What stands at the practice about an entry that was not taken. */
export const usePlans = (caseId: string | undefined) =>
  useQuery({
    ...read("listPrescriptions", { params: { caseId: caseId ?? "" } }),
    enabled: caseId !== undefined,
  });

export const usePlan = (prescriptionId: string | undefined) =>
  useQuery({
    ...read("readPrescription", { params: { prescriptionId: prescriptionId ?? "" } }),
    enabled: prescriptionId !== undefined,
  });

export const useVisits = (horseId: string | undefined) =>
  useQuery({
    ...read("listShoeingRecords", { params: { horseId: horseId ?? "" }, query: { limit: 100 } }),
    enabled: horseId !== undefined,
  });
