import type { readFilmFigures } from "@heelward/contracts";
import {
  filmFiguresOf,
  MEASURE_KEYS,
  semFigureKey,
  type FilmFigures,
  type MeasureKey,
  type SemByMeasure,
} from "@heelward/domain/geometry";
import type { z } from "zod";
import { dayColumn, isoDay } from "../../http/dates.ts";
import type { Work } from "../../http/work.ts";
import { practiceToday } from "../people/practice.ts";
import { figuresBeginning } from "../settings/values.ts";

/** The figures by which films are measured, checked and compared today: the practice's own, or the standard ones. */
export const filmFigures = async (work: Work): Promise<FilmFigures> => {
  const values = await figuresBeginning(work, "radiograph.", await practiceToday(work));
  return filmFiguresOf((key) => {
    const value = values.get(key);
    if (value === undefined) throw new RangeError(`there is no figure ${key}`);
    return value;
  });
};

/** The practice's own reading error of each measure it has adopted one for, with the day it holds from. */
export const adoptedErrors = async (
  work: Work,
): Promise<ReadonlyMap<MeasureKey, { readonly sem: number; readonly since: string }>> => {
  const measureOf = new Map(MEASURE_KEYS.map((key) => [semFigureKey(key), key]));
  const rows = await work.tx.practiceSetting.findMany({
    where: {
      key: { in: [...measureOf.keys()] },
      since: { lte: dayColumn(await practiceToday(work)) },
    },
    orderBy: [{ since: "asc" }, { createdAt: "asc" }],
  });
  return new Map(
    rows.flatMap(({ key, value, since }) => {
      const measure = measureOf.get(key);
      return measure !== undefined && typeof value === "number" && value > 0
        ? [[measure, { sem: value, since: isoDay(since) }] as const]
        : [];
    }),
  );
};

/** Reading error of every measure as comparisons take it: the practice's own, or that of its kind. */
export const ownReadingErrors = async (work: Work): Promise<SemByMeasure> =>
  (await filmFigures(work)).sem;

/** The same for whoever measures on the screen while points are moved. */
export const readingFigures = async (
  work: Work,
): Promise<z.input<typeof readFilmFigures.response>> => {
  const { landmarkSpread, edgeReach, wedgeSdDegrees, sem } = await filmFigures(work);
  return { landmarkSpread, edgeReach, wedgeSdDegrees, sem };
};
