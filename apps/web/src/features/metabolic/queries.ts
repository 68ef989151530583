import { keepPreviousData, useQuery } from "@tanstack/react-query";
import type { Body } from "../../api/operations.ts";
import { read, readOrNone } from "../../api/use-call.ts";

export const useHorse = (horseId: string) => useQuery(read("readHorse", { params: { horseId } }));
/** The ration in force, or null. */
export const useRation = (horseId: string) =>
  useQuery(readOrNone("readFeedingPlan", { params: { horseId } }));
/** What the rules say of a ration on paper; the last answer stays while the next is asked. */
export const useRationCheck = (horseId: string, body: Body<"judgeFeedingPlan"> | undefined) =>
  useQuery({
    ...read("judgeFeedingPlan", { params: { horseId }, body: body as Body<"judgeFeedingPlan"> }),
    enabled: body !== undefined,
    placeholderData: keepPreviousData,
    retry: false,
  });
export const useWeightCurve = (horseId: string) =>
  useQuery(read("readWeightCurve", { params: { horseId }, query: {} }));
/** The live ladder, or null. */
export const useLadder = (horseId: string) =>
  useQuery(readOrNone("readMovementLadder", { params: { horseId } }));
export const useIceLog = (horseId: string) =>
  useQuery(read("readIceLog", { params: { horseId }, query: {} }));
export const useHealing = (caseId: string) =>
  useQuery(read("readHealingCurve", { params: { caseId } }));
