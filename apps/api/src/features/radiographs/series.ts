import type { RadiographView, readSeries } from "@heelward/contracts";
import {
  compareFeet,
  compareFilms,
  definitionOf,
  detectSinking,
  footValueOf,
  heelRaiseFindings,
  LATEROMEDIAL_DEFINITIONS,
  literatureStatements,
  type SemByMeasure,
} from "@heelward/domain/geometry";
import type { z } from "zod";
import type { Work } from "../../http/work.ts";
import * as cases from "../cases/service.ts";
import { ownReadingErrors } from "./reading-figures.ts";
import { animalOf, measuredFilms } from "./service.ts";

type Foot = RadiographView["foot"];

const PAIRS = { LF: ["LF", "RF"], RF: ["LF", "RF"], LH: ["LH", "RH"], RH: ["LH", "RH"] } as const;

type Side = z.input<typeof readSeries.response>["sides"];

/** Right minus left by the newest measured side view of each; null until both feet have one. */
const sidesOf = async (
  work: Work,
  horseId: string,
  foot: Foot,
  study: SemByMeasure,
): Promise<Side> => {
  const films = (await measuredFilms(work, horseId)).filter(
    (one) => one.row.view === "lateromedial",
  );
  const [left, right] = PAIRS[foot].map((side) => films.findLast((one) => one.row.foot === side));
  if (left === undefined || right === undefined) return null;
  const about = ({ row }: typeof left) => ({
    radiographId: row.id,
    takenAt: row.takenAt.toISOString(),
  });
  return {
    left: about(left),
    right: about(right),
    differences: LATEROMEDIAL_DEFINITIONS.flatMap(({ key, label, unit }) => {
      const [leftValue, rightValue] = [left, right].map((one) => footValueOf(one.measured, key));
      if (leftValue === undefined || rightValue === undefined) return [];
      const one = compareFeet(key, left.measured, right.measured, study);
      return [
        {
          ...one,
          interval95: one.interval95 === null ? null : { ...one.interval95 },
          findings: [...one.findings],
          label,
          unit,
          leftValue,
          rightValue,
        },
      ];
    }),
  };
};

/** Each measure from film to film: what changed for real, and what lies within error. */
export const series = async (
  work: Work,
  caseId: string,
  foot: Foot,
): Promise<z.input<typeof readSeries.response>> => {
  const found = await cases.read(work, caseId);
  const study = await ownReadingErrors(work);
  const films = await measuredFilms(work, found.horse.id, foot);
  const lateral = films.filter((one) => one.row.view === "lateromedial");
  const pairs = films.flatMap((later, index) => {
    const before = films.slice(0, index).findLast((one) => one.row.view === later.row.view);
    return before === undefined ? [] : [{ before, later }];
  });
  const newest = lateral.at(-1);
  const animal = newest === undefined ? "horse" : await animalOf(work, found.horse.id);
  return {
    films: films.map(({ row, set }) => ({
      radiographId: row.id,
      takenAt: row.takenAt.toISOString(),
      foot: row.foot,
      wedgeDegrees: row.wedgeDegrees,
      measurements: set.measurements,
    })),
    changes: pairs.flatMap(({ before, later }) =>
      compareFilms(before.measured, later.measured, study).map((one) => ({
        ...one,
        interval95: one.interval95 === null ? null : { ...one.interval95 },
        findings: [...one.findings],
        label: definitionOf(one.key).label,
        unit: definitionOf(one.key).unit,
        fromRadiographId: before.row.id,
        toRadiographId: later.row.id,
      })),
    ),
    findings: [
      ...detectSinking(
        lateral.map((one) => one.measured),
        study,
      ).map((sign) => sign.finding),
      ...heelRaiseFindings(
        lateral.map((one) => one.measured),
        study,
      ),
    ],
    sides: await sidesOf(work, found.horse.id, foot, study),
    literature:
      newest === undefined
        ? []
        : literatureStatements(newest.measured.measurements, animal).map((one) => ({
            text: one.statement,
            caution: one.caution,
            source: one.source,
          })),
  };
};
