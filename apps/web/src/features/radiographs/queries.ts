import { useQuery } from "@tanstack/react-query";
import { useIsRole } from "../../app/current-session.tsx";
import { read } from "../../api/use-call.ts";

export type Foot = "LF" | "RF" | "LH" | "RH";

export const useFilms = (caseId: string) =>
  useQuery(read("listRadiographs", { params: { caseId } }));

export const useRadiograph = (radiographId: string) =>
  useQuery(read("readRadiograph", { params: { radiographId } }));

export const useLandmarkSets = (radiographId: string) =>
  useQuery(read("listLandmarkSets", { params: { radiographId } }));

export const useSeries = (caseId: string, foot: Foot) =>
  useQuery(read("readSeries", { params: { caseId }, query: { foot } }));

export const useCase = (caseId: string) => useQuery(read("readCase", { params: { caseId } }));

/** The figures by which films are measured and compared today. */
export const useFigures = () => useQuery(read("readFilmFigures", {}));

/** Lines and outlines drawn on a film that stand today. */
export const useOutlines = (radiographId: string) =>
  useQuery(read("listFilmOutlines", { params: { radiographId } }));

/** Drainages and resections of a case. */
export const useProcedures = (caseId: string) =>
  useQuery(read("listProcedures", { params: { caseId } }));

export const useStudy = () => useQuery(read("readRepeatReadingStudy", {}));

/** The horse of a film: its kind decides which published figures apply. */
export const useHorse = (horseId: string) => useQuery(read("readHorse", { params: { horseId } }));

/** Courses of medicine, for those who may read them. */
export const useCourses = (horseId: string | undefined) => {
  const mayRead = useIsRole("vet", "manager");
  return useQuery({
    ...read("listCourses", { params: { horseId: horseId ?? "" }, query: { limit: 100 } }),
    enabled: mayRead && horseId !== undefined,
    retry: false,
  });
};

/** What was done to the feet, to be marked in the charts. */
export const useShoeing = (horseId: string | undefined) =>
  useQuery({
    ...read("listShoeingRecords", { params: { horseId: horseId ?? "" }, query: { limit: 100 } }),
    enabled: horseId !== undefined,
    retry: false,
  });
