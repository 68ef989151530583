import { useQueries, useQuery } from "@tanstack/react-query";
import type { Answer } from "../../api/operations.ts";
import { read } from "../../api/use-call.ts";
import { useCurrent } from "../../app/current-session.tsx";
import { todayIn } from "../../language/format.ts";

export type Week = Answer<"readWorkingWeek">;
export type CoverMove = Answer<"previewCover">["moves"][number];

/** The weeks of several people, in their order; those not read yet are left out. */
export const useWeeks = (personIds: readonly string[]): readonly Week[] =>
  useQueries({
    queries: personIds.map((personId) => read("readWorkingWeek", { params: { personId } })),
  }).flatMap(({ data }) => (data === undefined ? [] : [data]));

export const useToday = (): string => todayIn(useCurrent().session.practice.timeZone);

export const useAbsences = () => useQuery(read("listAbsences", { query: { fromOn: useToday() } }));

export const useClosures = () => useQuery(read("listClosures", {}));
