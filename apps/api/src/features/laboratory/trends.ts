import { judgeResult, type LabResult } from "@heelward/domain/medication";
import { startOfDay } from "@heelward/domain/time";
import type { Work } from "../../http/work.ts";
import { horseOf } from "../medication/read-model.ts";
import { inWorkingUnit, WATCHED } from "./interpret.ts";
import * as store from "./store.ts";

const NEWEST = 500;

/** One test over time: every value in the unit the rules work in, judged at the latest. */
const seriesOf = (test: string, rows: readonly store.LabResultRow[], timeZone: string) => {
  const points = rows.flatMap((row) => {
    const converted = inWorkingUnit(test, row.value, row.unit);
    if (!converted.ok) return [];
    const { value, unit, factor } = converted.value;
    return [
      {
        unit,
        point: {
          resultId: row.id,
          takenOn: row.takenOn,
          value,
          rangeLow: row.rangeLow === null ? null : row.rangeLow * factor,
          rangeHigh: row.rangeHigh === null ? null : row.rangeHigh * factor,
        },
      },
    ];
  });
  const last = points.at(-1);
  if (last === undefined) return [];
  const asResult = ({ unit, point }: (typeof points)[number]): LabResult => ({
    test: test as LabResult["test"],
    value: point.value,
    unit: unit as LabResult["unit"],
    takenAtMs: startOfDay(point.takenOn, timeZone),
    rangeLow: point.rangeLow ?? undefined,
    rangeHigh: point.rangeHigh ?? undefined,
  });
  const judged = judgeResult(asResult(last), points.slice(0, -1).map(asResult));
  return [
    {
      test,
      unit: last.unit,
      points: points.map(({ point }) => point),
      level: judged.level,
      falling: judged.falling,
      changePercent: judged.changePercent ?? null,
      text: judged.text,
      source: judged.source,
    },
  ];
};

/** The tests whose course is judged: proteins, creatinine, blood fats. Oldest value first. */
export const trends = async (work: Work, horseId: string) => {
  const horse = await horseOf(work, horseId);
  const rows = (await store.findLabResults(work.tx, { horseId, limit: NEWEST })).toReversed();
  return {
    series: WATCHED.flatMap((test) =>
      seriesOf(
        test,
        rows.filter((row) => row.test === test),
        horse.timeZone,
      ),
    ),
  };
};
