import type {
  adoptRepeatReadingStudy,
  placeRepeatReading,
  readRepeatReadingStudy,
} from "@heelward/contracts";
import {
  definitionOf,
  repeatReadingStudy,
  semFigureKey,
  type MeasureKey,
  type RepeatReading,
} from "@heelward/domain/geometry";
import type { z } from "zod";
import { dayColumn } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { assertLandmarks, measureFilm } from "./measure.ts";
import { practiceToday } from "../people/practice.ts";
import { adoptedErrors, filmFigures } from "./reading-figures.ts";
import { animalOf, findRow } from "./service.ts";
import * as store from "./store.ts";
import { viewMeasurement } from "./view.ts";

type Points = z.output<NonNullable<typeof placeRepeatReading.body>>["points"];
type Adoption = z.output<NonNullable<typeof adoptRepeatReadingStudy.body>>;

/** One more reading of a film, blind to earlier ones: the checks against other films are left out on purpose. */
export const placeReading = async (
  work: Work,
  radiographId: string,
  points: Points,
): Promise<z.input<typeof placeRepeatReading.response>> => {
  const { tx, actor, nowMs } = work;
  if ((await store.lockRadiograph(tx, radiographId)) === null) throw notFound("film");
  const row = await findRow(work, radiographId);
  assertLandmarks(row.view, points);
  const measurements = measureFilm(
    row,
    await animalOf(work, row.horseId),
    points,
    await filmFigures(work),
  );
  const id = newId();
  await tx.landmarkSet.create({
    data: {
      practiceId: actor.practiceId,
      id,
      horseId: row.horseId,
      radiographId,
      number: await store.nextSetNumber(tx, radiographId),
      points,
      placedBy: actor.personId,
      placedAt: new Date(nowMs),
      note: null,
      measurements: JSON.parse(JSON.stringify(measurements.map(viewMeasurement))) as object[],
      findings: [],
      forStudy: true,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "film.read-again",
    subjectType: "radiograph",
    subjectId: radiographId,
    horseId: row.horseId,
    payload: { setId: id, points },
  });
  return {
    id,
    radiographId,
    placedBy: { id: actor.personId, name: actor.name },
    placedAt: new Date(nowMs).toISOString(),
    myReadings: await tx.landmarkSet.count({
      where: { radiographId, forStudy: true, placedBy: actor.personId },
    }),
  };
};

const readingsOf = async ({ tx }: Work): Promise<readonly store.StudyReading[]> =>
  store.findStudyReadings(tx);

const asReadings = (rows: readonly store.StudyReading[]): readonly RepeatReading[] =>
  rows.flatMap((row) =>
    row.value === null
      ? []
      : [
          {
            measure: row.measure as MeasureKey,
            filmId: row.radiographId,
            readerId: row.readerId,
            value: row.value,
          },
        ],
  );

/** Reading error of every measure, and what comparisons use today. */
export const readStudy = async (
  work: Work,
): Promise<z.input<typeof readRepeatReadingStudy.response>> => {
  const rows = await readingsOf(work);
  const adopted = await adoptedErrors(work);
  const figures = await filmFigures(work);
  const readers = new Map(rows.map((row) => [row.readerId, row.readerName]));
  return {
    items: repeatReadingStudy(asReadings(rows), figures.studySize).map((one) => {
      const own = adopted.get(one.measure);
      return {
        ...one,
        label: definitionOf(one.measure).label,
        unit: definitionOf(one.measure).unit,
        missing: one.missing ?? null,
        inUse: {
          sem: own?.sem ?? figures.sem[one.measure] ?? 0,
          isOwn: own !== undefined,
          since: own?.since ?? null,
        },
      };
    }),
    films: new Set(rows.map((row) => row.radiographId)).size,
    readers: [...readers].map(([id, name]) => ({ id, name })),
  };
};

/** The clinical lead lets comparisons use the practice's own figures from today on. */
export const adopt = async (
  work: Work,
  input: Adoption,
): Promise<z.input<typeof adoptRepeatReadingStudy.response>> => {
  const { tx, actor, nowMs } = work;
  if (!actor.clinicalLead)
    throw new Problem("forbidden", "Only the clinical lead adopts the practice's own figures.");
  const { studySize } = await filmFigures(work);
  const results = repeatReadingStudy(asReadings(await readingsOf(work)), studySize);
  for (const [index, key] of (input.measures ?? []).entries()) {
    const found = results.find((one) => one.measure === key);
    if (found?.enough !== true)
      throw badField(`/measures/${index}`, found?.missing ?? "was not read more than once");
  }
  const chosen = results
    .filter((one) => one.enough && one.sem > 0 && (input.measures?.includes(one.measure) ?? true))
    // Four figures: what is set is what is shown.
    .map((one) => ({ ...one, sem: Number(one.sem.toPrecision(4)) }));
  if (chosen.length === 0)
    throw new Problem(
      "conflict",
      results[0]?.missing ?? "No film has been marked more than once yet.",
    );
  const since = dayColumn(await practiceToday(work));
  await tx.practiceSetting.createMany({
    data: chosen.map((one) => ({
      practiceId: actor.practiceId,
      id: newId(),
      key: semFigureKey(one.measure),
      value: one.sem,
      source: `Own repeat-reading study: ${one.films} films, ${one.readers} people, ${one.readings} readings (${one.method})`,
      since,
      setBy: actor.personId,
      createdAt: new Date(nowMs),
    })),
  });
  const adopted = chosen.map(({ measure, sem }) => ({ measure, sem }));
  work.audit({
    event: "study.adopted",
    subjectType: "setting",
    subjectId: null,
    horseId: null,
    payload: { adopted },
  });
  work.announce("queue");
  return { adopted };
};
