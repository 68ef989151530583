import { useQuery } from "@tanstack/react-query";
import { withOwnFigures, type OwnFigures } from "@heelward/domain/evidence";
import { growthValues, type GrowthValues } from "@heelward/domain/growth";
import {
  AS_DONE_TOLERANCES,
  FILL_CATALOGUE,
  findFill,
  findFixing,
  findShoe,
  FIXING_CATALOGUE,
  SHOE_CATALOGUE,
  trimValues,
  type AsDoneTolerances,
  type OwnCatalogue,
  type TrimValues,
} from "@heelward/domain/trim";
import { useMemo } from "react";
import { read } from "../api/use-call.ts";

/** What planner and forecast go by here today: the practice's own figures and devices, else the standard ones. */
export interface PlannerFigures {
  readonly trim: TrimValues;
  readonly growth: GrowthValues;
  readonly tolerances: AsDoneTolerances;
  /** Every figure by its key, for rules that look up their own. */
  readonly byKey: OwnFigures;
  readonly own: OwnCatalogue & { readonly retiredIds: readonly string[] };
}

/** Undefined until read. */
export const usePlannerFigures = (): PlannerFigures | undefined => {
  const { data } = useQuery(read("readPlannerFigures", {}));
  return useMemo(
    () =>
      data === undefined
        ? undefined
        : {
            trim: trimValues(data.own),
            growth: growthValues(data.own),
            byKey: data.own,
            tolerances: withOwnFigures(AS_DONE_TOLERANCES, data.own),
            own: data.catalogue as unknown as PlannerFigures["own"],
          },
    [data],
  );
};

/** How fast a horse's feet grow, by its own readings and the published rate. */
export const useHoofGrowth = (horseId: string | undefined) =>
  useQuery({
    ...read("readHoofGrowth", { params: { horseId: horseId ?? "" } }),
    enabled: horseId !== undefined,
  });

/** Names of shoes, fills and fixings by id, the practice's own among them; the id itself while they are not read. */
export const useDeviceNames = () => {
  const own = usePlannerFigures()?.own;
  return {
    shoe: (id: string): string => findShoe(id, own)?.name ?? id,
    fill: (id: string): string => findFill(id, own)?.name ?? id,
    fixing: (id: string): string => findFixing(id, own)?.name ?? id,
  };
};

interface Entry {
  readonly id: string;
  readonly name: string;
}

/** Generic entries, then the practice's own that are in use; a retired one only where it is chosen already. */
const optionsOf = (
  generic: readonly Entry[],
  own: readonly Entry[],
  retired: readonly string[],
  chosen: string,
) =>
  [...generic, ...own.filter(({ id }) => id === chosen || !retired.includes(id))].map(
    ({ id, name }) => ({ value: id, label: name }),
  );

/** What may be chosen for a foot, generic and own. */
export const useDeviceOptions = (chosen: {
  readonly shoe: string;
  readonly supportFill: string;
  readonly fixing: string;
}) => {
  const own = usePlannerFigures()?.own;
  const retired = own?.retiredIds ?? [];
  return {
    shoes: optionsOf(SHOE_CATALOGUE, own?.shoes ?? [], retired, chosen.shoe),
    fills: optionsOf(FILL_CATALOGUE, own?.fills ?? [], retired, chosen.supportFill),
    fixings: optionsOf(FIXING_CATALOGUE, own?.fixings ?? [], retired, chosen.fixing),
  };
};
