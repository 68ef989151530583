import type { Outcomes } from "@heelward/contracts";
import {
  compareMeasurements,
  definitionOf,
  type MeasuredFilm,
  type MeasureKey,
} from "@heelward/domain/geometry";
import { rateOf, summaryOf } from "@heelward/domain/outcomes";
import type { Work } from "../../http/work.ts";
import { ownReadingErrors } from "../radiographs/reading-figures.ts";
import * as radiographs from "../radiographs/service.ts";
import { findFilmedHorses } from "./store.ts";

const SHOWN: readonly MeasureKey[] = [
  "palmarAngleFoot",
  "capsularRotation",
  "soleDepthTip",
  "hornLamellarDistal",
  "founderDistance",
  "breakoverDistance",
];

/** First and last side view of the foot filmed most often: one foot a horse, so that n counts horses. */
const endsOf = (films: readonly MeasuredFilm[]): readonly [MeasuredFilm, MeasuredFilm] | null => {
  const feet = [...new Set(films.map(({ film }) => film.foot))];
  const most = feet
    .map((foot) => films.filter(({ film }) => film.foot === foot))
    .toSorted((left, right) => right.length - left.length)
    .at(0);
  const [first, last] = [most?.at(0), most?.at(-1)];
  return most === undefined || first === undefined || last === undefined || most.length < 2
    ? null
    : [first, last];
};

/** How each measure changed over the horses filmed since; a change inside the reading error is none. */
export const measureChanges = async (work: Work, since: Date): Promise<Outcomes["measures"]> => {
  const study = await ownReadingErrors(work);
  const pairs: (readonly [MeasuredFilm, MeasuredFilm])[] = [];
  for (const horseId of await findFilmedHorses(work.tx, since)) {
    // oxlint-disable-next-line no-await-in-loop -- one connection
    const films = await radiographs.measuredFilms(work, horseId);
    const ends = endsOf(
      films
        .filter(({ row }) => row.view === "lateromedial" && row.takenAt >= since)
        .map(({ measured }) => measured),
    );
    if (ends !== null) pairs.push(ends);
  }
  return SHOWN.map((key) => {
    const changes = pairs
      .map(([first, last]) => compareMeasurements(key, first, last, study))
      .flatMap(({ difference, verdict }) =>
        difference === null ? [] : [{ difference, isReal: verdict === "real" }],
      );
    const n = changes.length;
    const { label, unit } = definitionOf(key);
    return {
      key,
      label,
      unit,
      change: summaryOf(changes.map(({ difference }) => difference)),
      rose: rateOf(changes.filter((one) => one.isReal && one.difference > 0).length, n),
      fell: rateOf(changes.filter((one) => one.isReal && one.difference < 0).length, n),
      unclear: rateOf(changes.filter((one) => !one.isReal).length, n),
    };
  });
};
