import { measuredFilm, renderedFilm } from "./films.ts";
import { startTestService, type TestPerson, type TestService } from "./service.ts";

/** Quick to render; the points are as exact as on a full film. */
export const SMALL = { render: { widthPx: 600, heightPx: 500, detectorPitchMm: 0.34 } } as const;

/**
 * Readings of the invented cases: date, wedge, palmar angle, bone front, wall, rotation, wall to bone
 * top and bottom, sole under tip and wing, founder distance, breakover. Angles as the foot stood.
 */
export type Row = readonly [
  string,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
];
export const THIMBLE: readonly Row[] = [
  ["2026-07-08", 0, 6.5, 55.5, 53, 2.5, 13.5, 14.5, 11.5, 16.5, 8, 14.5],
  ["2026-10-09", 0, 4.5, 53.5, 52.5, 1, 13, 13.5, 15, 18.5, 7, 9],
];
export const MARL_HOPPER: readonly Row[] = [
  ["2025-10-16", 0, 14, 61, 50, 11, 16.5, 23, 8, 21, 12, 46],
  ["2025-12-15", 0, 9, 56, 47.5, 8.5, 16, 21, 11, 19.5, 11, 17],
  ["2026-02-09", 0, 7, 54, 47.5, 6.5, 16, 20, 13, 19.5, 10.5, 10],
  ["2026-06-20", 0, 8, 55, 48.5, 6.5, 15.5, 19.5, 13, 20.5, 10.5, 14.5],
  ["2026-10-05", 0, 4.5, 51.5, 48.5, 3, 15.5, 17.5, 16, 20, 9, 10.5],
];
export const HARBOUR_DRUM: readonly Row[] = [
  ["2026-02-16", 0, 3, 50, 49.5, 0.5, 18.5, 19, 17, 20.5, 10, 10],
  ["2026-02-20", 0, 3, 50, 49.5, 0.5, 20.5, 21, 15, 18.5, 13, 4.5],
  ["2026-02-24", 6, 9, 56, 55, 1, 23, 23.5, 11, 14.5, 18, 4.5],
];
/** Length of the bone and along the wall between the two wall-to-bone readings, mm. */
export const SHAPE = {
  thimble: { solarLengthMm: 46, wallSpanMm: 28 },
  marlHopper: { solarLengthMm: 54, wallSpanMm: 34 },
  harbourDrum: { solarLengthMm: 66, wallSpanMm: 42 },
} as const;

/** The film of one row, rendered. */
export const filmOf = (
  row: Row,
  shape: { readonly solarLengthMm: number; readonly wallSpanMm: number },
) => {
  const [, wedge, palmar, front, wall, , top, bottom, tip, wing, founder, breakover] = row;
  return renderedFilm(
    {
      palmarAngleDegrees: palmar,
      boneFrontAngleDegrees: front,
      wallAngleDegrees: wall,
      wallToBoneTopMm: top,
      wallToBoneBottomMm: bottom,
      soleTipMm: tip,
      soleWingMm: wing,
      founderDistanceMm: founder,
      breakoverDistanceMm: breakover,
      wedgeDegrees: wedge,
      ...shape,
    },
    // Another grain of noise each time: no two films of a horse are the same file.
    { render: { ...SMALL.render, seed: Number(row[0].replaceAll("-", "")) % 99_991 } },
  );
};

/** A service with a second vet, who confirms left and right. */
export interface FilmRoom {
  readonly service: TestService;
  readonly second: TestPerson;
}

export const openFilmRoom = async (): Promise<FilmRoom> => {
  const service = await startTestService();
  return { service, second: await service.personWith("vet", "Second Vet") };
};

/** A horse of its own with an open case. */
export const newCase = async (
  { service }: FilmRoom,
  name: string,
  phase = "chronic active",
): Promise<string> => {
  const horse = await service.manager.send("post", "/horses", {
    name,
    type: "horse",
    sex: "gelding",
    bornOn: "2015-04-01",
    yardId: service.yardId,
    farrierId: service.farrier.id,
  });
  if (horse.status !== 201) throw new Error(horse.text);
  await service.vet.send("post", `/horses/${horse.body.id}/weighings`, {
    method: "scale",
    weightKg: 480,
    weighedAt: "2026-10-13T08:00:00+01:00",
  });
  const opened = await service.vet.send("post", "/cases", { horseId: horse.body.id, phase });
  if (opened.status !== 201) throw new Error(opened.text);
  return opened.body.id;
};

/** Uploads, confirms and measures films of one foot, oldest first. */
export const addSeries = async (
  { service, second }: FilmRoom,
  caseId: string,
  rows: readonly Row[],
  shape: Parameters<typeof filmOf>[1],
): Promise<string[]> => {
  const ids: string[] = [];
  for (const row of rows)
    // One after the other: each film is checked against those before it.
    // oxlint-disable-next-line no-await-in-loop
    ids.push(
      await measuredFilm(service, caseId, second, filmOf(row, shape), {
        takenAt: `${row[0]}T10:00:00Z`,
        wedgeDegrees: String(row[1]),
        // On a wedge the ground line seen is the ground itself.
        groundLineOn: row[1] > 0 ? "ground" : "foot surface",
        beamCentring: "hoof-ground interface",
      }),
    );
  return ids;
};

/** A measure as the service gives it. */
export interface Measure {
  readonly key: string;
  readonly value: number | null;
  readonly missing: string | null;
  readonly unit: string;
}
/** The newest marks of a film. */
export const latestSet = async ({ service }: FilmRoom, filmId: string) =>
  (await service.vet.get(`/radiographs/${filmId}/landmark-sets`)).body.items[0];
/** A measure by its key; not a number where it was not given. */
export const valueOf = (measurements: readonly Measure[], key: string): number =>
  measurements.find((one) => one.key === key)?.value ?? Number.NaN;

/** A plan for one foot that the rules take. */
export const plan = (foot: string, changes: object = {}) => ({
  foot,
  toeBackMm: 8,
  breakoverFromP3TipMm: 4,
  heelRemoveMm: 0,
  palmarAngleTargetDegrees: { low: 2, high: 5 },
  soleMinMm: 10,
  shoe: "rolled-bar",
  supportFill: "back-two-thirds",
  fixing: "glue",
  ...changes,
});
/** Drafts a plan on the given films. */
export const draftOn = async (
  { service }: FilmRoom,
  caseId: string,
  filmIds: readonly string[],
  feet: readonly object[],
  changes: object = {},
) => {
  const drafted = await service.vet.send("post", `/cases/${caseId}/prescriptions`, {
    aim: "Load the back half, unload the toe",
    feet,
    conditions: {},
    intervalDays: 28,
    radiographIds: filmIds,
    ...changes,
  });
  if (drafted.status !== 201) throw new Error(drafted.text);
  return drafted.body;
};
/** Signs a draft with the given reasons. */
export const sign = (
  { service }: FilmRoom,
  drafted: { readonly id: string; readonly version: number },
  overrides: readonly object[],
) =>
  service.vet.send(
    "post",
    `/prescriptions/${drafted.id}/signature`,
    { readBack: { filmOpened: true, targetsConfirmed: true }, overrides },
    drafted.version,
  );
/** A reason for every warning but one. */
export const warnings = (findings: readonly { rule: string; outcome: string }[], except: string) =>
  findings
    .filter((one) => one.outcome === "warn" && one.rule !== except)
    .map((one) => ({ rule: one.rule, reason: "seen and accepted" }));
