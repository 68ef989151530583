import type { LandmarkSetView } from "@heelward/contracts";
import { useQueries, useQuery, type UseQueryResult } from "@tanstack/react-query";
import { useMemo } from "react";
import type { Answer } from "../../api/operations.ts";
import { read } from "../../api/use-call.ts";
import { todayIn } from "../../language/format.ts";
import { useHoofGrowth, usePlannerFigures } from "../../parts/planner-figures.ts";
import { type FootBasis, footBasis, newestOfEachFoot, type PlanFilm } from "./plan/plan-inputs.ts";

export type Prescription = Answer<"readPrescription">;

export const usePrescriptions = (caseId: string) =>
  useQuery(read("listPrescriptions", { params: { caseId } }));

export const usePrescription = (prescriptionId: string) =>
  useQuery(read("readPrescription", { params: { prescriptionId } }));

export const useCase = (caseId: string | undefined) =>
  useQuery({
    ...read("readCase", { params: { caseId: caseId ?? "" } }),
    enabled: caseId !== undefined,
  });

export const useHorse = (horseId: string | undefined) =>
  useQuery({
    ...read("readHorse", { params: { horseId: horseId ?? "" } }),
    enabled: horseId !== undefined,
  });

/** The newest reading of each film; the same array while nothing changes. */
const newestSets = (
  results: readonly UseQueryResult<Answer<"listLandmarkSets">>[],
): readonly (LandmarkSetView | undefined)[] => results.map((one) => one.data?.items[0]);

/** The measured side views of a case with their newest readings, newest film first; undefined until read. */
export const useMeasuredFilms = (caseId: string | undefined): readonly PlanFilm[] | undefined => {
  const films = useQuery({
    ...read("listRadiographs", { params: { caseId: caseId ?? "" } }),
    enabled: caseId !== undefined,
  });
  const lateral = useMemo(
    () =>
      (films.data?.items ?? []).filter(
        (film) => film.view === "lateromedial" && film.landmarkSetCount > 0,
      ),
    [films.data],
  );
  const newest = useQueries({
    queries: lateral.map((film) => read("listLandmarkSets", { params: { radiographId: film.id } })),
    combine: newestSets,
  });
  const isReady = films.data !== undefined;
  return useMemo(() => {
    if (!isReady || newest.length !== lateral.length || newest.includes(undefined))
      return undefined;
    return lateral.flatMap((radiograph, index) => {
      const set = newest[index];
      return set === undefined ? [] : [{ radiograph, set }];
    });
  }, [isReady, lateral, newest]);
};

/** The films a plan rests on, ready for the planner; each foot by its newest of them. */
export const usePlanBasis = (
  plan:
    | Pick<
        Prescription,
        "caseId" | "horseId" | "feet" | "conditions" | "intervalDays" | "radiographIds"
      >
    | undefined,
): ReadonlyMap<string, FootBasis> | undefined => {
  const films = useMeasuredFilms(plan?.caseId);
  const found = useCase(plan?.caseId);
  const horse = useHorse(plan?.horseId);
  const figures = usePlannerFigures();
  const growth = useHoofGrowth(plan?.horseId);
  return useMemo(() => {
    if (
      plan === undefined ||
      films === undefined ||
      found.data === undefined ||
      horse.data === undefined ||
      figures === undefined ||
      growth.data === undefined
    )
      return undefined;
    const chosen = newestOfEachFoot(
      films.filter((film) => plan.radiographIds.includes(film.radiograph.id)),
    );
    return new Map(
      chosen.flatMap(({ film }) => {
        const foot = plan.feet.find((one) => one.foot === film.radiograph.foot);
        if (
          foot === undefined ||
          found.data === undefined ||
          horse.data === undefined ||
          growth.data === undefined
        )
          return [];
        const before = films.find(
          (one) =>
            one.radiograph.foot === film.radiograph.foot &&
            one.radiograph.takenAt < film.radiograph.takenAt,
        );
        const basis = footBasis(film, before, found.data, horse.data, foot, {
          emergency: plan.conditions.emergency ?? false,
          intervalDays: plan.intervalDays,
          today: todayIn(horse.data.yard.timeZone),
          figures,
          growth: growth.data,
        });
        return [[foot.foot, basis] as const];
      }),
    );
  }, [plan, films, found.data, horse.data, figures, growth.data]);
};
