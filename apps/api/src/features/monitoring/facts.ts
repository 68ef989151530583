import type { Hemisphere, MetabolicValues } from "@heelward/domain/metabolic";
import type { Work } from "../../http/work.ts";
import { loadMedication, type HorseMedication } from "../medication/context.ts";
import { horsesOf, otherMedicinesOf, type OtherMedicine } from "../medication/read-model.ts";
import { metabolicFigures } from "../metabolic/figures.ts";
import { rationsInForce, scoresOf, type Ration, type Score } from "../metabolic/read-model.ts";
import * as store from "./store.ts";

/** Everything the tasks of one horse are worked out from. */
export interface TaskFacts {
  readonly medication: HorseMedication;
  readonly hemisphere: Hemisphere;
  readonly results: readonly store.ResultDay[];
  readonly weighedOn: readonly string[];
  readonly others: readonly OtherMedicine[];
  readonly scores: readonly Score[];
  readonly ration: Ration | undefined;
  readonly waivers: readonly store.Waiver[];
  readonly figures: MetabolicValues;
}

/** Doses older than this say nothing about what is to be monitored. */
const LOOK_BACK_DAYS = 60;

/** Loads several horses with one reading of each table. */
export const loadFacts = async (work: Work, ids: readonly string[]): Promise<TaskFacts[]> => {
  const { tx } = work;
  if (ids.length === 0) return [];
  const horses = (await horsesOf(work, ids)).filter((horse) => horse.status === "active");
  if (horses.length === 0) return [];
  const horseIds = horses.map((horse) => horse.id);
  const medications = await loadMedication(work, horses, { lookBackDays: LOOK_BACK_DAYS });
  const results = await store.findResultDays(tx, horseIds);
  const weighings = await store.findWeighingDays(tx, horseIds);
  const waivers = await store.findWaivers(tx, horseIds);
  const watches = await otherMedicinesOf(work, horseIds);
  const scores = await scoresOf(work, horseIds);
  const rations = await rationsInForce(work);
  const figures = await metabolicFigures(work);
  return medications.map((medication): TaskFacts => {
    const { id } = medication.horse;
    return {
      medication,
      hemisphere: medication.horse.lat < 0 ? "south" : "north",
      results: results.filter((row) => row.horseId === id),
      weighedOn: weighings.filter((row) => row.horseId === id).map((row) => row.on),
      others: watches.filter((row) => row.horseId === id),
      scores: scores.filter((row) => row.horseId === id),
      ration: rations.find((row) => row.horse.id === id),
      waivers: waivers.filter((row) => row.horseId === id),
      figures,
    };
  });
};
