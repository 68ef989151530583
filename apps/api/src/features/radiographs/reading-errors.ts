import {
  DORSOPALMAR_DEFINITIONS,
  LATEROMEDIAL_DEFINITIONS,
  type MeasureKey,
  type SemByMeasure,
} from "@heelward/domain/geometry";
import { localDateOf } from "@heelward/domain/time";
import { dayColumn, isoDay } from "../../http/dates.ts";
import type { Work } from "../../http/work.ts";
import { readPractice } from "../people/practice.ts";

/** Followed by the key of a measure; the value is its standard error of one reading. */
const PREFIX = "radiograph.sem.";

export const settingKeyOf = (measure: MeasureKey): string => PREFIX + measure;

const MEASURES: readonly string[] = [...LATEROMEDIAL_DEFINITIONS, ...DORSOPALMAR_DEFINITIONS].map(
  (definition) => definition.key,
);
const isMeasure = (key: string): key is MeasureKey => MEASURES.includes(key);

/** The local date of the practice. */
export const practiceToday = async (work: Work): Promise<string> =>
  localDateOf(work.nowMs, (await readPractice(work)).timeZone);

/** The practice's own reading error of each measure it has adopted one for, with the day it holds from. */
export const adoptedErrors = async (
  work: Work,
): Promise<ReadonlyMap<MeasureKey, { readonly sem: number; readonly since: string }>> => {
  const rows = await work.tx.practiceSetting.findMany({
    where: { key: { startsWith: PREFIX }, since: { lte: dayColumn(await practiceToday(work)) } },
    orderBy: [{ since: "asc" }, { createdAt: "asc" }],
  });
  return new Map(
    rows.flatMap(({ key, value, since }) => {
      const measure = key.slice(PREFIX.length);
      return isMeasure(measure) && typeof value === "number" && value > 0
        ? [[measure, { sem: value, since: isoDay(since) }] as const]
        : [];
    }),
  );
};

/** The same in the form that comparisons take; a measure without its own keeps the default. */
export const ownReadingErrors = async (work: Work): Promise<SemByMeasure> =>
  Object.fromEntries([...(await adoptedErrors(work))].map(([key, { sem }]) => [key, sem]));
